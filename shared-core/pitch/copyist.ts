import type { Key } from './key.ts';
import { signatureOf } from './key.ts';
import { alterOf, midiOf, type Pitch, pitchAt, type Spelled } from './spelled.ts';

/**
 * Which of two spellings of one sound a copyist prints. Everything is measured from the key signature:
 * a note's distance is its place on the line of fifths minus the place of the signature's major tonic,
 * so C major and C sharp major ask the same question. In C: flats down to G flat are -6, F sharp is 6,
 * B sharp 12.
 *
 * Sources: a chord chart writes roots that would need Cb, Fb, E#, B# or a double accidental as B, E, F
 * and C unless the signature has them (common practice, no source); borrowed chords and flat-two
 * dominants stay flat.
 */

/** Flattest distance of a note in a line: the flat five of the key. */
const FLATTEST_NOTE = -6;

/** Sharpest distance of a note in a line: the raised second, third of a chord on the sharp side. */
const SHARPEST_NOTE = 10;

/** Distance of the leading tone of the relative minor, the one place for a double sharp: F## in G# minor. */
const MINOR_LEADING_TONE = 8;

/** Twelve places along the line of fifths is the same sound in another spelling. */
const ENHARMONIC = 12;

/** How far a spelling lies from the signature of a key, in fifths; the tonic of a major key is 0. */
export function distanceFrom(key: Key, pc: Spelled): number {
  return pc - signatureOf(key);
}

/** Whether a spelling is one of the seven notes of the key signature. */
export function inSignature(key: Key, pc: Spelled): boolean {
  const distance = distanceFrom(key, pc);
  return distance >= -1 && distance <= 5;
}

/** Cb, Fb, E#, B#: the white keys under another letter. */
function isWhiteKeyAccidental(pc: Spelled): boolean {
  return pc === -7 || pc === -8 || pc === 11 || pc === 12;
}

/** Moves a spelling by whole enharmonic steps until its distance lies within the bounds, if it can. */
function within(pc: Spelled, key: Key, flattest: number, sharpest: number): Spelled {
  let spelling = pc;
  while (distanceFrom(key, spelling) > sharpest) spelling -= ENHARMONIC;
  while (distanceFrom(key, spelling) < flattest) spelling += ENHARMONIC;
  return spelling;
}

/** The plain spelling of a note with a double accidental. */
export function undouble(pc: Spelled): Spelled {
  const alter = alterOf(pc);
  if (alter >= 2) return undouble(pc - ENHARMONIC);
  return alter <= -2 ? undouble(pc + ENHARMONIC) : pc;
}

/**
 * Spells a note of a line as a copyist prints it in a key. A spelling that makes sense in the key is
 * kept (a sharp rising and a flat falling are both right); one that lies too far off, or carries a
 * double accidental that is not the leading tone of the minor key, is changed.
 *
 * @example respellSpelled(-9, C major) // Bbb -> A (3)
 * @example respellSpelled(13, G# minor) // F## stays: the leading tone
 */
export function respellSpelled(pc: Spelled, key: Key): Spelled {
  if (distanceFrom(key, pc) === MINOR_LEADING_TONE) return pc;
  return undouble(within(pc, key, FLATTEST_NOTE, SHARPEST_NOTE));
}

/** Distances from the signature's tonic, in fifths, between which the spelling of a root is kept. */
export interface RootBounds {
  readonly flattest: number;
  readonly sharpest: number;
}

/**
 * Spells the root of a chord as a copyist prints it in a key: no double accidentals, and no Cb, Fb, E#
 * or B# unless the signature has it.
 *
 * @param bounds distances between which a spelling stays; at least twelve apart
 * @example respellRoot(-7, Bb major, {flattest: -6, sharpest: 6}) // bII of Bb: Cb -> B (5)
 */
export function respellRoot(pc: Spelled, key: Key, bounds: RootBounds): Spelled {
  const spelling = undouble(within(pc, key, bounds.flattest, bounds.sharpest));
  if (!isWhiteKeyAccidental(spelling) || inSignature(key, spelling)) return spelling;
  return spelling < 0 ? spelling + ENHARMONIC : spelling - ENHARMONIC;
}

/**
 * A pitch as it is put on a staff to be read at sight: a double accidental becomes the plain note that
 * sounds the same. The chord symbol above keeps its theory; the player reads A, not B double flat, over
 * Cdim7. Common practice, no source.
 */
export function atSight(pitch: Pitch): Pitch {
  return pitchAt(midiOf(pitch), undouble(pitch.pc));
}

/**
 * A passing note by the plainer of its two names: no doubles, and no Fb, Cb, E# or B#. For notes that no
 * chord and no signature owns. Common practice, no source.
 */
export function plainly(pc: Spelled): Spelled {
  if (pc <= -7) return pc + 12;
  return pc >= 11 ? pc - 12 : pc;
}
