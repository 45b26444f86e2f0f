import type { ChordReading } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { type Key, signatureOf } from '../pitch/key.ts';
import { chordAt, nextIndex, previousIndex, runEnd, runStart, wrap } from './circle.ts';
import { semitonesUp } from './sound.ts';

/** What moves in parallel in written changes: rows of one quality, and two-fives that slide down whole. */

/** Three or more chords of one quality in a row that move by step, or that leave the key at least twice. */
export function rowOf(
  chords: readonly ChordReading[],
  index: number,
): { readonly first: number; readonly last: number } | null {
  const here = chordAt(chords, index);
  if (here === null || here.quality.family === 'diminished') return null;
  const like = (at: number | null): at is number =>
    at !== null && chordAt(chords, at)?.quality === here.quality;
  let first = wrap(chords, index);
  let last = first;
  const members = [here];
  for (let at = previousIndex(chords, first); like(at) && members.length < 8; ) {
    first = at;
    members.unshift(chordAt(chords, at) ?? here);
    at = previousIndex(chords, first);
  }
  for (let at = nextIndex(chords, last); like(at) && members.length < 8; ) {
    last = at;
    members.push(chordAt(chords, at) ?? here);
    at = nextIndex(chords, last);
  }
  const reading = chords[wrap(chords, index)];
  if (reading === undefined || members.length < 3) return null;
  if (!allSteps(members) && strangers(reading.localKey, members) < 2) return null;
  return { first: runStart(chords, first), last: runEnd(chords, last) };
}

/** Whether every move is a semitone or a whole tone. */
function allSteps(members: readonly Chord[]): boolean {
  return members.every((chord, i) => {
    const next = members[i + 1];
    if (next === undefined) return true;
    const up = semitonesUp(chord.root, next.root);
    return up === 1 || up === 2 || up === 10 || up === 11;
  });
}

/** How many roots the key signature does not hold: plain progressions of fourths and fifths have none. */
function strangers(key: Key, members: readonly Chord[]): number {
  const home = signatureOf(key);
  return members.filter(({ root }) => ![0, 2, 4, 5, 7, 9, 11].includes(semitonesUp(home, root)))
    .length;
}

/** A chord of a two-five that slides down a semitone, and the chord it leads to; null where it only passes. */
export interface SlidingTwoFive {
  readonly part: 'two' | 'five';
  readonly leadsTo: number | null;
}

/**
 * Two and five above the minor chord a semitone below the two: a two-five that slides down whole. The five
 * leads on to the next five, where there is one.
 */
export function slidingTwoFive(
  chords: readonly ChordReading[],
  index: number,
): SlidingTwoFive | null {
  const here = chordAt(chords, index);
  const first = here?.quality.family === 'dominant' ? previousIndex(chords, index) : index;
  const two = first === null ? null : chordAt(chords, first);
  const fiveAt = first === null ? null : nextIndex(chords, first);
  const five = fiveAt === null ? null : chordAt(chords, fiveAt);
  const afterAt = fiveAt === null ? null : nextIndex(chords, fiveAt);
  const after = afterAt === null ? null : chordAt(chords, afterAt);
  if (two === null || five === null || after === null || fiveAt === null || afterAt === null) {
    return null;
  }
  if (two.quality.family !== 'minor' || five.quality.family !== 'dominant') return null;
  if (after.quality.family !== 'minor' || semitonesUp(two.root, five.root) !== 5) return null;
  if (semitonesUp(after.root, two.root) !== 1) return null;
  if (two === here) return { leadsTo: fiveAt, part: 'two' };
  const nextFive = nextIndex(chords, afterAt);
  const falls = nextFive === null ? null : chordAt(chords, nextFive);
  const slides = falls !== null && semitonesUp(falls.root, five.root) === 1;
  return { leadsTo: slides ? nextFive : null, part: 'five' };
}
