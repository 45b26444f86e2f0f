import type { Chord, Harmony } from '../chord/model.ts';
import { chromaOf, modulo } from '../pitch/spelled.ts';
import { CHORD_CLASSES, type ChordClass } from './weights.ts';

/** Class numbers, in the order of {@link CHORD_CLASSES}. */
export const CLASS: Readonly<Record<ChordClass, number>> = Object.fromEntries(
  CHORD_CLASSES.map((name, index) => [name, index]),
) as Record<ChordClass, number>;

/** Number of classes: the width of a row in the fit tables. */
export const CLASS_COUNT = CHORD_CLASSES.length;

/** What a chord is to the ear, as two small numbers: sounding root 0-11 (-1 for N.C.) and class. */
export interface HeardChord {
  readonly root: number;
  readonly class: number;
}

/** Nothing: N.C. */
export const SILENT: HeardChord = Object.freeze({ root: -1, class: CLASS.power });

/** One object for each root and class: hearing a chord makes no garbage. */
const HEARD: readonly HeardChord[] = Array.from({ length: 12 * CLASS_COUNT }, (_, index) =>
  Object.freeze({ root: Math.floor(index / CLASS_COUNT), class: index % CLASS_COUNT }),
);

function heardAs(root: number, kind: number): HeardChord {
  return HEARD[root * CLASS_COUNT + kind] ?? SILENT;
}

/** Semitone bits of a chroma mask. */
const has = (mask: number, semitones: number): boolean => ((mask >> semitones) & 1) === 1;

/**
 * Hears a written harmony as root and class. A slash bass that is no chord tone may change both:
 * Dm7/G is heard as a suspended G, C/A as Am7, Am/F# as a half-diminished F#. Common practice, no source.
 *
 * @example heard(parse('F/G')) // root 7, class sus
 */
export function heard(harmony: Harmony): HeardChord {
  if (harmony.kind === 'none') return SILENT;
  const root = chromaOf(harmony.root);
  const own = classOf(harmony);
  if (harmony.bass === null) return heardAs(root, own);
  const bass = chromaOf(harmony.bass);
  const above = modulo(bass - root, 12);
  if (has(harmony.quality.chromaMask, above)) return heardAs(root, own);
  return overForeignBass(root, own, above);
}

/** Class of a chord by its own tones, whatever its bass. */
function classOf(chord: Chord): number {
  const { family, chromaMask } = chord.quality;
  switch (family) {
    case 'major':
      return has(chromaMask, 11) || has(chromaMask, 9) ? CLASS.maj7 : CLASS.maj;
    case 'minor':
      if (has(chromaMask, 10)) return CLASS.min7;
      return has(chromaMask, 9) || has(chromaMask, 11) ? CLASS.min6 : CLASS.min;
    case 'dominant':
      return CLASS.dom;
    case 'half-diminished':
      return CLASS.hdim;
    case 'diminished':
      return CLASS.dim;
    case 'augmented':
      return CLASS.aug;
    case 'suspended':
      return CLASS.sus;
    case 'power':
      return CLASS.power;
  }
}

/** A chord over a bass that is none of its tones, `above` semitones over its root. */
function overForeignBass(root: number, own: number, above: number): HeardChord {
  const bass = modulo(root + above, 12);
  const minorish = own === CLASS.min || own === CLASS.min7 || own === CLASS.min6;
  const majorish = own === CLASS.maj || own === CLASS.maj7;
  if (above === 10) return heardAs(root, majorish ? CLASS.dom : minorish ? CLASS.min7 : own);
  if (minorish && above === 5) return heardAs(bass, CLASS.sus);
  if (majorish && above === 2) return heardAs(bass, CLASS.sus);
  if (majorish && above === 9) return heardAs(bass, CLASS.min7);
  if (minorish && above === 9) return heardAs(bass, CLASS.hdim);
  if (minorish && above === 8) return heardAs(bass, CLASS.maj7);
  if (majorish && above === 11) return heardAs(root, CLASS.maj7);
  if (majorish && (above === 1 || above === 5)) return heardAs(bass, CLASS.power);
  return heardAs(root, own);
}

/** Whether a class can be the tonic of a mode: I7 counts in major (blues), a bare fifth in both. */
export function canBeTonic(heardClass: number, minor: boolean): boolean {
  if (heardClass === CLASS.power) return true;
  return minor
    ? heardClass === CLASS.min || heardClass === CLASS.min7 || heardClass === CLASS.min6
    : heardClass === CLASS.maj || heardClass === CLASS.maj7;
}

/** Whether a class drives onward as a dominant: 7, sus, augmented triad. */
export function isDominantClass(heardClass: number): boolean {
  return heardClass === CLASS.dom || heardClass === CLASS.aug || heardClass === CLASS.sus;
}

/** Whether a class is minor in the plain sense (triad, m7, m6 and mMaj7). */
export function isMinorClass(heardClass: number): boolean {
  return heardClass === CLASS.min || heardClass === CLASS.min7 || heardClass === CLASS.min6;
}

/** Whether a class is major in the plain sense (triad, maj7, 6). */
export function isMajorClass(heardClass: number): boolean {
  return heardClass === CLASS.maj || heardClass === CLASS.maj7;
}
