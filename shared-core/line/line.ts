import { pitchAt } from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import { type Candidate, columnsOf } from './candidates.ts';
import type { LineNote } from './guide.ts';
import { harmonyAt } from './harmony-at.ts';
import type { LineInput } from './model.ts';
import { type Onset, rhythmOf } from './rhythm.ts';
import { cheapestLine, penaltyKey } from './search.ts';

/** What is held against each note of a bar that says what an earlier bar has said. */
const COPIED = 3;
/** Times the line is searched again to get rid of copied bars. */
const TRIES = 8;

/**
 * An example of what to play over the soloist's changes: eighth notes that spell them. Chord tones stand
 * on the strong beats, scale steps and arpeggios between, chromatic notes only where they lead by a
 * semitone into a chord tone (alone, or with the scale tone above as an enclosure), the note that tells
 * where a chord leaves the written changes, and its way home by step. Phrases breathe; no bar copies an
 * earlier one; all stays in the compass.
 *
 * Exact search (dynamic programming over notes and the way each was reached) on a rhythm drawn by seed: the
 * same input gives the same line on every machine. Written straight; swing is a matter of performance.
 *
 * @throws RangeError when the compass is narrower than an octave
 * @example exampleLine({ bars, harmony, key, compass: { low: 52, high: 79 }, degree: 'medium', seed: 1 })
 */
export function exampleLine(input: LineInput): LineNote[] {
  const { compass, harmony, bars } = input;
  if (compass.high - compass.low < 12)
    throw new RangeError('A line needs a compass of an octave or more');
  const onsets = rhythmOf(bars, input.degree, input.seed, forcedOnsets(input)).filter(
    (onset) => harmonyAt(harmony, onset.start)?.harmony.kind === 'chord',
  );
  if (onsets.length === 0) return [];
  const columns = columnsOf(input, onsets);
  const picks = withoutCopies(columns, onsets, homesOf(input));
  return onsets.flatMap((onset, index) => {
    const note = columns[index]?.[picks[index] ?? 0];
    return note
      ? [{ start: onset.start, length: onset.length, pitch: pitchAt(note.midi, note.pc) }]
      : [];
  });
}

/** Places where a note must begin: where a story starts and where it comes home, and the last bar line. */
function forcedOnsets({ stories = [], bars }: LineInput): Set<Ticks> {
  const forced = new Set<Ticks>();
  for (const { start, length } of stories) forced.add(start).add(start + length);
  const last = bars.at(-1);
  if (last) forced.add(last.start);
  return forced;
}

/** Where stories that have a way home arrive there. */
function homesOf({ stories = [] }: LineInput): ReadonlySet<Ticks> {
  return new Set(
    stories.flatMap(({ start, length, home }) => (home === null ? [] : [start + length])),
  );
}

/** The cheapest line, searched again while bars are copied, with what they say held against them. */
function withoutCopies(
  columns: readonly (readonly Candidate[])[],
  onsets: readonly Onset[],
  homes: ReadonlySet<Ticks>,
): number[] {
  const places = onsets.map(({ start, ends }) => ({ ends, home: homes.has(start) }));
  const penalties = new Map<string, number>();
  let picks = cheapestLine(columns, places, penalties);
  for (let time = 0; time < TRIES; time++) {
    const copies = copiedOnsets(onsets, columns, picks);
    if (copies.length === 0) break;
    for (const index of copies) {
      const key = penaltyKey(index, columns[index]?.[picks[index] ?? 0]?.midi ?? 0);
      penalties.set(key, (penalties.get(key) ?? 0) + COPIED);
    }
    picks = cheapestLine(columns, places, penalties);
  }
  return picks;
}

/** Onsets of every bar of three notes or more that says what an earlier bar has said. */
function copiedOnsets(
  onsets: readonly Onset[],
  columns: readonly (readonly Candidate[])[],
  picks: readonly number[],
): number[] {
  const seen = new Set<string>();
  const copies: number[] = [];
  let first = 0;
  while (first < onsets.length) {
    let end = first;
    while (end < onsets.length && onsets[end]?.bar === onsets[first]?.bar) end++;
    const barStart = onsets[first]?.start ?? 0;
    const said = onsets
      .slice(first, end)
      .map(
        (onset, offset) =>
          `${onset.start - barStart}:${columns[first + offset]?.[picks[first + offset] ?? 0]?.midi}`,
      )
      .join();
    if (end - first >= 3 && seen.has(said))
      for (let index = first; index < end; index++) copies.push(index);
    seen.add(said);
    first = end;
  }
  return copies;
}
