import type { Chair } from '../arrangement/band.ts';
import type { ArrangementState, Realisation } from '../arrangement/model.ts';
import { BASS_LOW, type BassBar, type BassManner, bassSlots, walkingLine } from '../bass/walk.ts';
import { midiOf, type Pitch } from '../pitch/spelled.ts';
import { beatTicks, strongBeats, type Ticks } from '../time/meter.ts';
import type { Chorus, FormBar } from '../tune/model.ts';
import type { WrittenLine } from './bass.ts';

/** What a written bass line is made from, at concert pitch. */
export interface WalkedInput {
  readonly chorus: Chorus;
  readonly state: ArrangementState;
  readonly realisation: Realisation;
  readonly chair: Chair;
  /** Sounding to written pitch. */
  readonly written: (pitch: Pitch) => Pitch;
}

/**
 * A bass line written out for every chorus: walking, unless the leader asked for something else there.
 * Each chorus is worked out by itself, so that choruses with the same changes have the same line.
 */
export function walkedLine(input: WalkedInput): WrittenLine {
  const { realisation, written } = input;
  const line = new Map<Ticks, { length: Ticks; pitch: Pitch }>();
  realisation.choruses.forEach((_, chorus) => {
    const from = chorus * realisation.chorusLength;
    const end = from + realisation.chorusLength;
    const harmony = realisation.band
      .filter(({ start, length }) => start < end && start + length > from)
      .map((event) => {
        const start = Math.max(event.start, from) - from;
        return {
          ...event,
          start,
          length: Math.min(event.start + event.length, end) - from - start,
        };
      });
    const bars = input.chorus.bars.flatMap((bar) => bassBar(input, chorus, bar));
    for (const { start, length, pitch } of walkingLine(
      bassSlots(bars, harmony),
      lowestOf(input.chair),
    ))
      line.set(from + start, { length, pitch: written(pitch) });
  });
  return line;
}

function bassBar(
  { state, realisation, chair }: WalkedInput,
  chorus: number,
  bar: FormBar,
): BassBar[] {
  const plan = realisation.choruses[chorus];
  const directed = Object.values(state.directions).find(
    (direction) =>
      direction.chair === chair.id &&
      direction.chorus === plan?.id &&
      bar.start >= direction.start &&
      bar.start < direction.start + direction.length,
  );
  if (directed?.words === 'lay out') return [];
  const manner: BassManner =
    directed?.words === 'two-feel' || directed?.words === 'pedal' ? directed.words : 'walk';
  const { start, length, meter } = bar;
  return [{ start, length, beat: beatTicks(meter), strong: strongBeats(meter), manner }];
}

/** The lowest sounding note of a bass chair, MIDI: its lowest string, or E1 where nothing is said. */
export function lowestOf({ strings }: Chair): number {
  const lowest = strings?.tuning[0];
  return lowest ? midiOf(lowest) : BASS_LOW;
}
