import type { ChordReading, DeviceName, HarmonicFunction, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import { semitonesUp } from './sound.ts';

/**
 * Looking at written changes as a circle: the end of the form leads to its top. What devices share when
 * they read backwards.
 */

/** Index on the circle. */
export function wrap(chords: readonly ChordReading[], index: number): number {
  const n = chords.length;
  return ((index % n) + n) % n;
}

/** The chord at an index of the circle; null for N.C. and for an empty tune. */
export function chordAt(chords: readonly ChordReading[], index: number): Chord | null {
  const harmony = chords[wrap(chords, index)]?.harmony;
  return harmony === undefined || harmony.kind === 'none' ? null : harmony;
}

/** Index of the next chord that is not just the same chord struck again; null when the form holds one chord. */
export function nextIndex(chords: readonly ChordReading[], index: number): number | null {
  return seek(chords, index, 1);
}

/** Index of the last chord before this one that differs from it (of a repeated chord, its last mention). */
export function previousIndex(chords: readonly ChordReading[], index: number): number | null {
  return seek(chords, index, -1);
}

function seek(chords: readonly ChordReading[], index: number, step: 1 | -1): number | null {
  const here = chords[wrap(chords, index)]?.harmony;
  if (here === undefined) return null;
  for (let k = 1; k < chords.length; k += 1) {
    const at = wrap(chords, index + step * k);
    const there = chords[at]?.harmony;
    if (there !== undefined && !sameChord(there, here)) return at;
  }
  return null;
}

/** A chord of the circle with the chords around it. */
export interface Neighbours {
  readonly here: Chord;
  readonly reading: ChordReading;
  readonly next: Chord | null;
  readonly nextAt: number;
  readonly previous: Chord | null;
  readonly previousAt: number;
}

/** The chord at `index` and its different neighbours; null when there is no chord or no next one. */
export function around(chords: readonly ChordReading[], index: number): Neighbours | null {
  const reading = chords[wrap(chords, index)];
  const here = chordAt(chords, index);
  const nextAt = nextIndex(chords, index);
  const previousAt = previousIndex(chords, index);
  if (reading === undefined || here === null || nextAt === null || previousAt === null) return null;
  return {
    here,
    reading,
    next: chordAt(chords, nextAt),
    nextAt,
    previous: chordAt(chords, previousAt),
    previousAt,
  };
}

/** Scale degree of a root in semitones above the local tonic. */
export function degreeOf(reading: ChordReading, root: Chord): number {
  return semitonesUp(reading.localKey.tonic, root.root);
}

/** Builds a recognition. */
export function recognition(
  device: DeviceName,
  chord: number,
  prepares: number | null,
  roman: string | null,
  harmonicFunction: HarmonicFunction,
  cost: number,
): Recognition {
  return { device, chord, prepares, roman, function: harmonicFunction, cost };
}

/** Names of the twelve degrees counted against the major scale. */
const DEGREES = ['I', 'bII', 'II', 'bIII', 'III', 'IV', '#IV', 'V', 'bVI', 'VI', 'bVII', 'VII'];

/** Roman numeral of a chord as a target: `ii`, `IV`, `bVI`. */
export function numeralOf(reading: ChordReading, chord: Chord): string {
  const numeral = DEGREES[degreeOf(reading, chord)] ?? 'I';
  const { family } = chord.quality;
  return family === 'minor' || family === 'half-diminished' ? numeral.toLowerCase() : numeral;
}

/** Index of the first mention of the chord held at `index` (a chord struck again counts as one). */
export function runStart(chords: readonly ChordReading[], index: number): number {
  let at = wrap(chords, index);
  const here = chords[at]?.harmony;
  for (let k = 1; k < chords.length; k += 1) {
    const before = wrap(chords, index - k);
    const there = chords[before]?.harmony;
    if (here === undefined || there === undefined || !sameChord(there, here)) break;
    at = before;
  }
  return at;
}

/** Index of the last mention of the chord held at `index`. */
export function runEnd(chords: readonly ChordReading[], index: number): number {
  let at = wrap(chords, index);
  const here = chords[at]?.harmony;
  for (let k = 1; k < chords.length; k += 1) {
    const after = wrap(chords, index + k);
    const there = chords[after]?.harmony;
    if (here === undefined || there === undefined || !sameChord(there, here)) break;
    at = after;
  }
  return at;
}
