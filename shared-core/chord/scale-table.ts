import { degreeFifths } from './degrees.ts';
import type { Degree } from './model.ts';

/**
 * Scales under their trade names, and the scale, tensions and avoid notes of a chord by what it does in
 * its key. The rows of functions and the first nineteen scales follow published handouts and charts,
 * listed row by row in tests/reference/chord-scales.json; pentatonic, blues and bebop scales are common
 * practice (checked against a general-purpose library in tests/outside/chords.test.ts).
 */

/** A scale, from its root up. */
export interface Scale {
  readonly name: string;
  readonly degrees: readonly Degree[];
}

/** What a chord does in its key, at the grain at which scales are taught. */
export type ScaleFunction = (typeof FUNCTION_IDS)[number];

/** Ids of the functions: Roman numerals, `V7/ii` a secondary dominant, `-minor` a function in minor. */
export const FUNCTION_IDS = [
  'I',
  'ii',
  'iii',
  'IV',
  'V7',
  'vi',
  'vii',
  'V7/ii',
  'V7/iii',
  'V7/IV',
  'V7/V',
  'V7/vi',
  'subV7',
  'ext-dom',
  'related-ii',
  'iv6',
  'iv7',
  'bVII7',
  'borrowed-maj7',
  'bVI7',
  'I7-blues',
  '#iv',
  'dim7',
  'i7',
  'i6',
  'imaj7',
  'iiø',
  'V7-minor',
  'bIII-minor',
  'iv-minor',
  'bVI-minor',
  'bVII-minor',
  'vii-minor',
  'V7sus',
  'V7#5',
] as const;

/** One function: its scale first, other scales in use, tensions that may sound and notes to keep off. */
export interface FunctionRow {
  readonly id: ScaleFunction;
  /** Degree of the key the chord stands on: `b7`. For functions found on many roots, one of them. */
  readonly degree: string;
  /** Suffix of the plain chord. */
  readonly suffix: string;
  readonly first: string;
  readonly others: readonly string[];
  readonly tensions: readonly Degree[];
  readonly avoid: readonly Degree[];
}

/** Reads a degree name: `b9`, `#11`, `bb7`, `5`. Throws on anything else. */
export function degreeOf(name: string): Degree {
  const match = /^(bb|b|#|)(1|2|3|4|5|6|7|9|11|13)$/.exec(name);
  if (!match) throw new Error(`Not a degree: ${name}`);
  const alter = { bb: -2, b: -1, '': 0, '#': 1 }[match[1] as 'bb' | 'b' | '' | '#'];
  return { number: Number(match[2]), alter } as Degree;
}

function degreesOf(names: string): readonly Degree[] {
  return names === '' ? [] : names.split(' ').map(degreeOf);
}

function scale(name: string, degrees: string): Scale {
  return { name, degrees: degreesOf(degrees) };
}

/**
 * Every scale, by its trade name. Where a scale has two thirds, the lower is written as a minor third and
 * not as the sharp ninth it is as a tension: a player reads E flat and E over C7alt, not D sharp and E.
 */
export const SCALES: readonly Scale[] = [
  scale('ionian', '1 2 3 4 5 6 7'),
  scale('dorian', '1 2 b3 4 5 6 b7'),
  scale('phrygian', '1 b2 b3 4 5 b6 b7'),
  scale('lydian', '1 2 3 #4 5 6 7'),
  scale('mixolydian', '1 2 3 4 5 6 b7'),
  scale('aeolian', '1 2 b3 4 5 b6 b7'),
  scale('locrian', '1 b2 b3 4 b5 b6 b7'),
  scale('locrian natural 2', '1 2 b3 4 b5 b6 b7'),
  scale('mixolydian b13', '1 2 3 4 5 b6 b7'),
  scale('mixolydian b9 b13', '1 b2 3 4 5 b6 b7'),
  scale('mixolydian b9 #9 b13', '1 b2 b3 3 4 5 b6 b7'),
  scale('lydian b7', '1 2 3 #4 5 6 b7'),
  scale('altered', '1 b2 b3 3 b5 b6 b7'),
  scale('melodic minor', '1 2 b3 4 5 6 7'),
  scale('harmonic minor', '1 2 b3 4 5 b6 7'),
  scale('whole-half diminished', '1 2 b3 4 b5 b6 bb7 7'),
  scale('half-whole diminished', '1 b2 b3 3 #4 5 6 b7'),
  scale('whole tone', '1 2 3 #4 #5 b7'),
  scale('lydian augmented', '1 2 3 #4 #5 6 7'),
  scale('dorian b2', '1 b2 b3 4 5 6 b7'),
  scale('major pentatonic', '1 2 3 5 6'),
  scale('minor pentatonic', '1 b3 4 5 b7'),
  scale('blues', '1 b3 4 b5 5 b7'),
  scale('bebop dominant', '1 2 3 4 5 6 b7 7'),
  scale('bebop major', '1 2 3 4 5 #5 6 7'),
  scale('bebop minor', '1 2 b3 3 4 5 6 b7'),
];

const BY_NAME: ReadonlyMap<string, Scale> = new Map(SCALES.map((item) => [item.name, item]));

/** The scale of a trade name. Throws when there is none. */
export function scaleByName(name: string): Scale {
  const found = BY_NAME.get(name);
  if (!found) throw new Error(`No scale is called '${name}'`);
  return found;
}

/** Pitch classes of a scale above its root as twelve bits. */
export function scaleChroma(item: Scale): number {
  let bits = 0;
  for (const degree of item.degrees) bits |= 1 << ((((degreeFifths(degree) * 7) % 12) + 12) % 12);
  return bits;
}

function row(
  id: ScaleFunction,
  degree: string,
  suffix: string,
  first: string,
  others: readonly string[],
  tensions: string,
  avoid: string,
): FunctionRow {
  return {
    id,
    degree,
    suffix,
    first,
    others,
    tensions: degreesOf(tensions),
    avoid: degreesOf(avoid),
  };
}

/** The functions. */
export const FUNCTIONS: readonly FunctionRow[] = [
  row('I', '1', 'maj7', 'ionian', ['lydian'], '9 13', '11'),
  row('ii', '2', 'm7', 'dorian', [], '9 11', '13'),
  row('iii', '3', 'm7', 'phrygian', [], '11', 'b9 b13'),
  row('IV', '4', 'maj7', 'lydian', [], '9 #11 13', ''),
  row('V7', '5', '7', 'mixolydian', ['altered', 'half-whole diminished'], '9 13', '11'),
  row('vi', '6', 'm7', 'aeolian', ['dorian'], '9 11', 'b13'),
  row('vii', '7', 'm7b5', 'locrian', [], '11 b13', 'b9'),
  row('V7/ii', '6', '7', 'mixolydian b13', ['mixolydian b9 #9 b13'], '9 b13', '11'),
  row('V7/iii', '7', '7', 'mixolydian b9 #9 b13', ['altered'], 'b9 #9 b13', '11'),
  row('V7/IV', '1', '7', 'mixolydian', [], '9 13', '11'),
  row('V7/V', '2', '7', 'mixolydian', ['lydian b7'], '9 13', '11'),
  row(
    'V7/vi',
    '3',
    '7',
    'mixolydian b9 #9 b13',
    ['mixolydian b9 b13', 'altered'],
    'b9 #9 b13',
    '11',
  ),
  row('subV7', 'b2', '7', 'lydian b7', [], '9 #11 13', ''),
  row('ext-dom', '3', '7', 'mixolydian', [], '9 13', '11'),
  row('related-ii', '5', 'm7', 'dorian', [], '9 11', '13'),
  row('iv6', '4', 'm6', 'melodic minor', ['dorian'], '9 11 7', ''),
  row('iv7', '4', 'm7', 'dorian', [], '9 11', '13'),
  row('bVII7', 'b7', '7', 'lydian b7', ['mixolydian'], '9 #11 13', ''),
  row('borrowed-maj7', 'b6', 'maj7', 'lydian', [], '9 #11 13', ''),
  row('bVI7', 'b6', '7', 'lydian b7', [], '9 #11 13', ''),
  row('I7-blues', '1', '7', 'mixolydian', [], '9 13', '11'),
  row('#iv', '#4', 'm7b5', 'locrian', [], '11 b13', 'b9'),
  row('dim7', '#1', 'dim7', 'whole-half diminished', [], '9 11 b13 7', ''),
  row('i7', '1', 'm7', 'dorian', ['aeolian', 'phrygian'], '9 11', ''),
  row('i6', '1', 'm6', 'melodic minor', ['dorian'], '9 11', ''),
  row('imaj7', '1', 'mMaj7', 'melodic minor', ['harmonic minor'], '9 11 13', ''),
  row('iiø', '2', 'm7b5', 'locrian', ['locrian natural 2'], '11 b13', 'b9'),
  row(
    'V7-minor',
    '5',
    '7alt',
    'altered',
    ['mixolydian b9 b13', 'half-whole diminished'],
    'b9 #9 b13',
    '',
  ),
  row('bIII-minor', 'b3', 'maj7', 'lydian', ['ionian', 'lydian augmented'], '9 13', ''),
  row('iv-minor', '4', 'm7', 'dorian', [], '9 11', '13'),
  row('bVI-minor', 'b6', 'maj7', 'lydian', [], '9 #11 13', ''),
  row('bVII-minor', 'b7', '7', 'mixolydian', [], '9 13', '11'),
  row('vii-minor', '7', 'dim7', 'whole-half diminished', [], '', ''),
  row('V7sus', '5', '7sus4', 'mixolydian', [], '9 13', '3'),
  row('V7#5', '5', '7#5', 'whole tone', [], '9 #11', ''),
];

const BY_ID: ReadonlyMap<ScaleFunction, FunctionRow> = new Map(
  FUNCTIONS.map((item) => [item.id, item]),
);

/** The row of a function. */
export function functionRow(id: ScaleFunction): FunctionRow {
  const found = BY_ID.get(id);
  if (!found) throw new Error(`No function is called '${id}'`);
  return found;
}
