import type { Pitch } from '../pitch/spelled.ts';
import { COMPING } from './comping.ts';
import { type BarPlace, type StaffWriter, withLengths } from './content.ts';
import type { PartEvent } from './model.ts';
import { slashes } from './slashes.ts';
import { soundingIn } from './timeline.ts';
import type { VoicedLine } from './voiced.ts';

/**
 * Keyboard comping with its voicings on the staff: the notes where a chord begins, held for as long as
 * the chord; slashes where it rings on into the next bar. The voicings are advice: bars with the same
 * changes stay alike.
 */
export function keyboardWriter(voiced: VoicedLine, written: (pitch: Pitch) => Pitch): StaffWriter {
  return {
    ...COMPING,
    plain: (place) => COMPING.events(place),
    implied: () => false,
    events: (place) =>
      withLengths(soundingIn(place.band), place.bar.length).flatMap(({ at, harmony, length }) => {
        if (harmony.kind === 'none') return [{ kind: 'rest', at, length }];
        const voicing = voiced.get(place.start + at);
        return voicing
          ? [chordEvent(voicing.pitches.map(written), at, length)]
          : held(place, at, length);
      }),
  };
}

function chordEvent(pitches: readonly Pitch[], at: number, length: number): PartEvent {
  return { kind: 'note', at, length, pitches, tied: false, mark: null, weight: 'play' };
}

/** Slashes of a stretch of the bar. */
function held({ bar }: BarPlace, at: number, length: number): PartEvent[] {
  const end = at + length;
  return slashes(bar.meter, bar.length).flatMap((slash): PartEvent[] => {
    const from = Math.max(slash.at, at);
    const to = Math.min(slash.at + slash.length, end);
    return to > from ? [{ kind: 'slash', at: from, length: to - from }] : [];
  });
}
