import { symbolOf } from '../chord/format.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { notesOf } from '../chord/tones.ts';
import { guideLine } from '../line/guide.ts';
import { atSight } from '../pitch/copyist.ts';
import { chromaOf, midiOf, type Pitch, type Spelled } from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';
import { arpeggio, nearest } from './arpeggio.ts';
import { type BarPlace, type StaffWriter, withLengths } from './content.ts';
import type { PartEvent } from './model.ts';
import { slashes } from './slashes.ts';
import type { SoloistInput } from './soloist-model.ts';
import { soundingIn } from './timeline.ts';
import { lineAt, lineMarks, noteEvents } from './written-line.ts';

/**
 * The soloist's staff: a kept line wherever there is one; the melody in head choruses; elsewhere the
 * guide-tone line in small notes, and over every superimposed chord its arpeggio in full size. The note that
 * tells and the note that brings it home are marked, on a kept line too.
 */
export function soloistWriter(input: SoloistInput): StaffWriter {
  const line = new Map(
    guideLine(input.chorus, { low: midiOf(input.low), high: midiOf(input.high) }).map((note) => [
      note.start,
      note.pitch,
    ]),
  );
  const thread = new GuideThread(input.chorus, line, input);
  return {
    events: (place) => {
      const line = lineAt(input, place);
      if (line) return noteEvents(line.notes, place, lineMarks(input, line, place));
      if (input.heads.has(place.chorus) && input.melody.length > 0)
        return noteEvents(input.melody, place);
      return soloEvents(input, thread, place);
    },
    under: () => null,
  };
}

/** Finds the guide tone of the plain line at a place, or the nearest one of another chord. */
class GuideThread {
  readonly #chorus: readonly TimedHarmony[];
  readonly #line: ReadonlyMap<Ticks, Pitch>;
  readonly #range: { readonly low: Pitch; readonly high: Pitch };

  constructor(
    chorus: readonly TimedHarmony[],
    line: ReadonlyMap<Ticks, Pitch>,
    range: { readonly low: Pitch; readonly high: Pitch },
  ) {
    this.#chorus = chorus;
    this.#line = line;
    this.#range = range;
  }

  /** @param at chorus ticks */
  at(at: Ticks, chord: Chord): Pitch {
    const written = this.#chorus.find(
      (event) => at >= event.start && at < event.start + event.length,
    );
    const pitch = written ? this.#line.get(written.start) : undefined;
    if (written && pitch && symbolOf(written.harmony) === symbolOf(chord)) return pitch;
    const near = pitch ? midiOf(pitch) : (midiOf(this.#range.low) + midiOf(this.#range.high)) / 2;
    const guides = chordGuides(chord).map((pc) => nearest(pc, near, this.#range));
    return guides.reduce((best, other) =>
      Math.abs(midiOf(other) - near) < Math.abs(midiOf(best) - near) ? other : best,
    );
  }
}

/** Third and seventh, or what stands for them; at least the root. */
function chordGuides(chord: Chord): readonly Spelled[] {
  const wanted = chord.quality.degrees
    .map((degree, index) => ({ degree, pc: chord.root + (chord.quality.fifths[index] ?? 0) }))
    .filter(({ degree }) => [3, 7, 6, 4, 2].includes(degree.number))
    .map(({ pc }) => pc);
  return wanted.length > 0 ? wanted : [chord.root];
}

function soloEvents(input: SoloistInput, thread: GuideThread, place: BarPlace): PartEvent[] {
  const { bar } = place;
  const offset = bar.start;
  const events: PartEvent[] = [];
  for (const chord of withLengths(soundingIn(place.solo), bar.length)) {
    const { harmony, at, length } = chord;
    const over = place.differs && !sounds(place, at, length, harmony);
    if (harmony.kind === 'none') events.push({ kind: 'rest', at, length });
    else if (over) events.push(...arpeggio(input, place, harmony, at, length));
    else events.push(...plain(input, thread, place, harmony, at, length, offset));
  }
  return events.length > 0 ? events : slashes(bar.meter, bar.length);
}

/** Whether the band plays this very harmony all through [at, at + length). */
function sounds(place: BarPlace, at: Ticks, length: Ticks, harmony: Harmony): boolean {
  const symbol = symbolOf(harmony);
  return withLengths(soundingIn(place.band), place.bar.length)
    .filter((held) => held.at < at + length && held.at + held.length > at)
    .every((held) => symbolOf(held.harmony) === symbol);
}

/** A bar (or part of one) where the soloist has what the band has: guide tone or slashes; `home` where one is due. */
function plain(
  input: SoloistInput,
  thread: GuideThread,
  place: BarPlace,
  chord: Chord,
  at: Ticks,
  length: Ticks,
  offset: Ticks,
): PartEvent[] {
  const home = homeDue(input, place.start + at, chord);
  if (!home && !input.guideTones)
    return slashes(place.bar.meter, place.bar.length)
      .filter((slash) => slash.at >= at && slash.at < at + length)
      .map((slash) => ({ ...slash, length: Math.min(slash.length, at + length - slash.at) }));
  const guide = thread.at(offset + at, chord);
  const pitch = home === null ? guide : nearest(home, midiOf(guide), input);
  return [
    {
      kind: 'note',
      at,
      length,
      pitches: [atSight(pitch)],
      tied: false,
      mark: home === null ? null : 'home',
      weight: home === null ? 'line' : 'play',
    },
  ];
}

/** The note that brings a rewrite home, when the chord at this moment is its first one back. */
function homeDue(input: SoloistInput, at: Ticks, chord: Chord): Spelled | null {
  if (at === 0 || !input.over(at - 1)) return null;
  const telling = input.tellings.find(({ start, length }) => at > start && at <= start + length);
  if (!telling || telling.home === null) return null;
  const wanted = chromaOf(telling.home);
  return notesOf(chord).find((pc) => chromaOf(pc) === wanted) ?? null;
}
