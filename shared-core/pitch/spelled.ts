/**
 * Spelled pitch classes as places on the line of fifths:
 * ... Eb -3, Bb -2, F -1, C 0, G 1, D 2, A 3, E 4, B 5, F# 6, C# 7 ...
 *
 * A letter and its accidental are one whole number, so transposing is an addition and the spelling
 * comes out right instead of being repaired afterwards. Eb (-3) and D# (9) are different numbers with
 * the same chroma. Source of the construction: the circle of fifths, unrolled; common practice.
 */

/** A spelled pitch class: steps from C along the line of fifths. Whole; C = 0, sharps grow, flats fall. */
export type Spelled = number;

/** A spelled interval class: the difference of two {@link Spelled} places (perfect fifth = 1, minor third = -3). */
export type FifthsInterval = number;

/** Pitch class number 0-11, C = 0. */
export type Chroma = number;

/** Letters in the order of the line of fifths, from F. */
const LETTERS_BY_FIFTH = ['F', 'C', 'G', 'D', 'A', 'E', 'B'] as const;

/** The seven letters of staff notation. */
export type Letter = (typeof LETTERS_BY_FIFTH)[number];

/** Place of each natural letter on the line of fifths. */
const NATURALS: Readonly<Record<Letter, Spelled>> = { F: -1, C: 0, G: 1, D: 2, A: 3, E: 4, B: 5 };

/** Step number of each letter within the octave, C = 0 ... B = 6. */
const STEPS: Readonly<Record<Letter, number>> = { C: 0, D: 1, E: 2, F: 3, G: 4, A: 5, B: 6 };

/** Semitones of each natural letter above C. */
const NATURAL_SEMITONES: Readonly<Record<Letter, number>> = {
  C: 0,
  D: 2,
  E: 4,
  F: 5,
  G: 7,
  A: 9,
  B: 11,
};

/** Remainder that is never negative. */
export function modulo(value: number, modulus: number): number {
  return ((value % modulus) + modulus) % modulus;
}

/** Builds a spelled pitch class. `spelled('E', -1)` is E flat (-3). `alter` is in semitones. */
export function spelled(letter: Letter, alter = 0): Spelled {
  return NATURALS[letter] + 7 * alter;
}

/** Letter of a spelled pitch class: `letterOf(-3)` is `'E'`. */
export function letterOf(pc: Spelled): Letter {
  return LETTERS_BY_FIFTH[modulo(pc + 1, 7)] as Letter;
}

/** Accidental in semitones: -1 flat, +1 sharp, 0 natural. `alterOf(-3)` is -1. */
export function alterOf(pc: Spelled): number {
  return Math.floor((pc + 1) / 7);
}

/** Sounding pitch class 0-11. `chromaOf(-3)` is 3. */
export function chromaOf(pc: Spelled): Chroma {
  return modulo(pc * 7, 12);
}

/** Step number of the letter, C = 0 ... B = 6. */
export function stepOf(pc: Spelled): number {
  return STEPS[letterOf(pc)];
}

/** Name in plain ASCII as people type it: `nameOf(-3)` is `'Eb'`, `nameOf(6)` is `'F#'`. */
export function nameOf(pc: Spelled): string {
  const alter = alterOf(pc);
  return letterOf(pc) + (alter < 0 ? 'b'.repeat(-alter) : '#'.repeat(alter));
}

/** Reads an ASCII or Unicode note name (`Eb`, `E♭`, `F##`, `Cbb`); null when it is not one. */
export function parseSpelled(text: string): Spelled | null {
  const match = /^([A-G])(b{0,3}|♭{0,3}|#{0,3}|♯{0,3}|𝄫|𝄪|x)$/u.exec(text);
  if (!match) return null;
  const marks = match[2] ?? '';
  const size = marks === '𝄫' || marks === '𝄪' || marks === 'x' ? 2 : [...marks].length;
  const sign = /^[b♭𝄫]/u.test(marks) ? -1 : 1;
  return spelled(match[1] as Letter, sign * size);
}

/** The spelled pitch class with the same sound nearest to `centre` on the line of fifths. */
export function respellNear(pc: Spelled, centre: Spelled): Spelled {
  return pc + 12 * Math.round((centre - pc) / 12);
}

/** A spelled pitch with its octave; octaves change at C, and middle C is C4 (MIDI 60). */
export interface Pitch {
  readonly pc: Spelled;
  /** Scientific octave of the written letter: B#3 sounds as C4, Cb4 sounds as B3. */
  readonly octave: number;
}

/** MIDI note number of a spelled pitch, C4 = 60. */
export function midiOf(pitch: Pitch): number {
  return 12 * (pitch.octave + 1) + NATURAL_SEMITONES[letterOf(pitch.pc)] + alterOf(pitch.pc);
}

/** Gives a MIDI note number the spelling `pc`, choosing the octave that sounds right. Throws when chroma differ. */
export function pitchAt(midi: number, pc: Spelled): Pitch {
  if (modulo(midi, 12) !== chromaOf(pc)) throw new Error(`MIDI ${midi} is not a ${nameOf(pc)}`);
  const natural = midi - alterOf(pc) - NATURAL_SEMITONES[letterOf(pc)];
  return { pc, octave: natural / 12 - 1 };
}

/** Name with octave: `Eb4`. */
export function pitchName(pitch: Pitch): string {
  return `${nameOf(pitch.pc)}${pitch.octave}`;
}

/**
 * Reads a name with octave, the opposite of {@link pitchName}; null when it is not one. Octaves -1 to 9.
 *
 * @example parsePitch('Eb4') // { pc: -3, octave: 4 }
 */
export function parsePitch(text: string): Pitch | null {
  const match = /^(\D+?)(-1|\d)$/u.exec(text);
  const pc = match ? parseSpelled(match[1] ?? '') : null;
  return pc === null ? null : { pc, octave: Number(match?.[2]) };
}

/** Diatonic position, seven to the octave, C0 = 0: what decides the line or space of a staff. */
export function staffStep(pitch: Pitch): number {
  return pitch.octave * 7 + stepOf(pitch.pc);
}
