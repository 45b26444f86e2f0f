import type { FifthsInterval } from '../pitch/spelled.ts';
import type { Degree } from './model.ts';

/**
 * The bit table of chord degrees: one bit for each degree a chord symbol can name, lowest bit lowest
 * sound. A quality's identity is the sum of its bits, so comparing, altering and omitting are bit
 * operations and two spellings of one chord can never become two chords.
 */

/** Bits of the degrees. `b` before the name lowers, `s` raises; `bb7` is the diminished seventh. */
export const BIT = {
  root: 1 << 0,
  two: 1 << 1,
  b3: 1 << 2,
  three: 1 << 3,
  four: 1 << 4,
  b5: 1 << 5,
  five: 1 << 6,
  s5: 1 << 7,
  b6: 1 << 8,
  six: 1 << 9,
  bb7: 1 << 10,
  b7: 1 << 11,
  seven: 1 << 12,
  b9: 1 << 13,
  nine: 1 << 14,
  s9: 1 << 15,
  eleven: 1 << 16,
  s11: 1 << 17,
  b13: 1 << 18,
  thirteen: 1 << 19,
  /** Not a degree: marks `7alt`, whose fifth and ninth are any altered ones. */
  alt: 1 << 20,
} as const;

/** Groups of bits that stand for one another in a chord. */
export const GROUP = {
  thirds: BIT.b3 | BIT.three,
  suspensions: BIT.two | BIT.four,
  fifths: BIT.b5 | BIT.five | BIT.s5,
  sevenths: BIT.bb7 | BIT.b7 | BIT.seven,
  alteredNinths: BIT.b9 | BIT.s9,
  ninths: BIT.b9 | BIT.nine | BIT.s9,
  elevenths: BIT.eleven | BIT.s11,
  thirteenths: BIT.b13 | BIT.thirteen,
} as const;

/** One row of the table. */
export interface DegreeRow {
  readonly bit: number;
  readonly degree: Degree;
  /** Name as the trade writes it: `b3`, `#11`. */
  readonly name: string;
  /** Place above the root on the line of fifths. */
  readonly fifths: FifthsInterval;
  /** Semitones above the root, compound degrees above the octave. */
  readonly semitones: number;
}

/** Places of the major-scale degrees on the line of fifths, and their semitones. */
const NATURAL: Readonly<Record<Degree['number'], readonly [fifths: number, semitones: number]>> = {
  1: [0, 0],
  2: [2, 2],
  3: [4, 4],
  4: [-1, 5],
  5: [1, 7],
  6: [3, 9],
  7: [5, 11],
  9: [2, 14],
  11: [-1, 17],
  13: [3, 21],
};

const MARKS: Readonly<Record<Degree['alter'], string>> = { [-2]: 'bb', [-1]: 'b', 0: '', 1: '#' };

function row(bit: number, number: Degree['number'], alter: Degree['alter']): DegreeRow {
  const [fifths, semitones] = NATURAL[number];
  return {
    bit,
    degree: { number, alter },
    name: `${MARKS[alter]}${number}`,
    fifths: fifths + 7 * alter,
    semitones: semitones + alter,
  };
}

/** Every degree a chord symbol can name, from the root up. */
export const DEGREES: readonly DegreeRow[] = [
  row(BIT.root, 1, 0),
  row(BIT.two, 2, 0),
  row(BIT.b3, 3, -1),
  row(BIT.three, 3, 0),
  row(BIT.four, 4, 0),
  row(BIT.b5, 5, -1),
  row(BIT.five, 5, 0),
  row(BIT.s5, 5, 1),
  row(BIT.b6, 6, -1),
  row(BIT.six, 6, 0),
  row(BIT.bb7, 7, -2),
  row(BIT.b7, 7, -1),
  row(BIT.seven, 7, 0),
  row(BIT.b9, 9, -1),
  row(BIT.nine, 9, 0),
  row(BIT.s9, 9, 1),
  row(BIT.eleven, 11, 0),
  row(BIT.s11, 11, 1),
  row(BIT.b13, 13, -1),
  row(BIT.thirteen, 13, 0),
];

/** The rows of a mask, from the root up. `rowsOf(BIT.root | BIT.five)` are the root and the fifth. */
export function rowsOf(mask: number): readonly DegreeRow[] {
  return DEGREES.filter((candidate) => (mask & candidate.bit) !== 0);
}

/** Name of a degree as the trade writes it: `b3`, `9`, `#11`, `bb7`. */
export function degreeName(degree: Degree): string {
  return `${MARKS[degree.alter]}${degree.number}`;
}

/** Place of a degree above its root on the line of fifths: b3 is -3, #11 is 6. */
export function degreeFifths(degree: Degree): FifthsInterval {
  return NATURAL[degree.number][0] + 7 * degree.alter;
}
