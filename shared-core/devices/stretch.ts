import type { Analysis, ChordReading, StaticSpan } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import { beatTicks } from '../time/meter.ts';
import { chordAt, wrap } from './circle.ts';
import { resolves } from './home.ts';
import type { Change } from './model.ts';
import { semitonesUp } from './sound.ts';

/**
 * Stretches of several written chords that have answers of their own: a two-five-one over four bars (the
 * cycle of major thirds), a two-five (borrowed from minor), a dominant or a row of dominants (tritone
 * substitutes). A stretch never goes round the form's end.
 */
export interface Stretch {
  readonly span: StaticSpan;
  readonly held: Chord;
  readonly written: readonly Change[];
}

/** Chords `first` to `last` of the list (no going round). */
interface Run {
  readonly first: number;
  readonly last: number;
}

/** All stretches of a tune, in order of their first chord. */
export function stretchesOf(analysis: Analysis): readonly Stretch[] {
  const { chords } = analysis;
  const stretches: Stretch[] = [];
  for (let i = 0; i < chords.length; i += 1) {
    for (const run of runsFrom(chords, i)) {
      const made = makeStretch(analysis, run);
      if (made !== null) stretches.push(made);
    }
  }
  return stretches;
}

function runsFrom(chords: readonly ChordReading[], first: number): readonly Run[] {
  if (chordAt(chords, first) === null || !isFresh(chords, first)) return [];
  const runs: Run[] = [];
  const five = twoFiveFrom(chords, first);
  if (five !== null) {
    runs.push({ first, last: endOf(chords, five) });
    const last = homeOfTwoFive(chords, first, five);
    if (last !== null) runs.push({ first, last });
  }
  const row = rowOfDominants(chords, first);
  if (row !== null) runs.push(row);
  return runs;
}

/** Index of the five when a two-five that goes home starts here; null when none does. */
function twoFiveFrom(chords: readonly ChordReading[], first: number): number | null {
  const five = after(chords, first);
  const here = chordAt(chords, first);
  const there = five === null ? null : chordAt(chords, five);
  if (five === null || here === null || there === null || !isTwo(here, there)) return null;
  const home = chordAt(chords, endOf(chords, five) + 1);
  return home !== null && semitonesUp(there.root, home.root) === 5 ? five : null;
}

/** Last mention of home so that home takes as long as two and five together (the four bars of the cycle); null when it does not. */
function homeOfTwoFive(
  chords: readonly ChordReading[],
  first: number,
  five: number,
): number | null {
  const home = after(chords, five);
  const start = chords[first];
  const arrival = home === null ? undefined : chords[home];
  if (home === null || start === undefined || arrival === undefined) return null;
  if (chordAt(chords, home)?.quality.family !== 'major') return null;
  const barEach = start.beat === 1 && chords[five]?.bar === start.bar + 1;
  if (!barEach || arrival.bar !== start.bar + 2 || arrival.beat !== 1) return null;
  const end = arrival.start + (arrival.start - start.start);
  for (let at = home; at <= endOf(chords, home); at += 1) {
    const chord = chords[at];
    if (chord !== undefined && chord.start + chord.length === end) return at;
  }
  return null;
}

/** Whether a chord is struck here for the first time, not again. */
function isFresh(chords: readonly ChordReading[], index: number): boolean {
  const before = chords[index - 1]?.harmony;
  const here = chords[index]?.harmony;
  return before === undefined || here === undefined || !sameChord(before, here);
}

/** Index of the next different chord inside the chorus. */
function after(chords: readonly ChordReading[], index: number): number | null {
  const end = endOf(chords, index) + 1;
  return end < chords.length ? end : null;
}

/** Index of the last mention of the chord struck at `index`. */
function endOf(chords: readonly ChordReading[], index: number): number {
  const here = chords[index]?.harmony;
  let end = index;
  while (end + 1 < chords.length) {
    const there = chords[end + 1]?.harmony;
    if (here === undefined || there === undefined || !sameChord(there, here)) break;
    end += 1;
  }
  return end;
}

function isTwo(two: Chord, five: Chord): boolean {
  const { family } = two.quality;
  const minor = family === 'minor' || family === 'half-diminished';
  return minor && five.quality.family === 'dominant' && semitonesUp(two.root, five.root) === 5;
}

/** The longest row of dominants from here, each resolving to the next; two or more. */
function rowOfDominants(chords: readonly ChordReading[], first: number): Run | null {
  const isDominant = (chord: Chord | null): chord is Chord =>
    chord !== null && chord.quality.family === 'dominant';
  const before = first > 0 ? chordAt(chords, first - 1) : null;
  let here = chordAt(chords, first);
  if (!isDominant(here) || (isDominant(before) && resolves(before, here))) return null;
  let last = first;
  for (let at = after(chords, first); at !== null; at = after(chords, at)) {
    const next = chordAt(chords, at);
    if (!isDominant(next) || !resolves(here, next)) break;
    here = next;
    last = at;
  }
  const arrival = chordAt(chords, endOf(chords, last) + 1);
  if (last === first || arrival === null || !resolves(here, arrival)) return null;
  return { first, last: endOf(chords, last) };
}

function makeStretch(analysis: Analysis, run: Run): Stretch | null {
  const { chords } = analysis;
  const from = chords[run.first];
  const span = spanOver(analysis, run.first, run.last);
  if (from === undefined || span === null || from.harmony.kind === 'none') return null;
  return { span, held: from.harmony, written: writtenIn(chords, run, from.start) };
}

/**
 * The span that chords `first` to `last` take, going round the form's end when `last` is the smaller.
 * Null when there are no such chords.
 */
export function spanOver(analysis: Analysis, first: number, last: number): StaticSpan | null {
  const { chords, chorus } = analysis;
  const from = chords[first];
  const to = chords[last];
  if (from === undefined || to === undefined) return null;
  const { start } = from;
  const end = to.start + to.length + (last < first ? chorus.length : 0);
  const bar = chorus.bars[from.bar - 1];
  if (bar === undefined) return null;
  const length = end - start;
  const beats = length / beatTicks(bar.meter);
  const inside = (at: number): boolean =>
    (at >= start && at < end) || (at + chorus.length >= start && at + chorus.length < end);
  return {
    id: `s${from.bar}.${from.beat}x${beats}`,
    startBar: from.bar,
    startBeat: from.beat,
    start,
    length,
    beats,
    stretch: false,
    harmony: from.harmony,
    localKey: to.localKey,
    firstChord: first,
    next: wrap(chords, last + 1),
    previous: wrap(chords, first - 1),
    places: ['mid-section'],
    sectionStarts: chorus.bars
      .filter((b) => b.startsSection && inside(b.start))
      .map((b) => b.start),
  };
}

function writtenIn(chords: readonly ChordReading[], run: Run, start: number): readonly Change[] {
  const written: Change[] = [];
  for (let i = run.first; i <= run.last; i += 1) {
    const chord = chords[i];
    if (chord === undefined) break;
    const before = written.at(-1);
    if (before !== undefined && sameChord(before.harmony, chord.harmony)) {
      written[written.length - 1] = { ...before, length: before.length + chord.length };
    } else {
      written.push({ at: chord.start - start, length: chord.length, harmony: chord.harmony });
    }
  }
  return written;
}
