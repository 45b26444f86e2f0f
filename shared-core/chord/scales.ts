import type { Key } from '../pitch/key.ts';
import { modulo, type Spelled } from '../pitch/spelled.ts';
import { BIT, degreeFifths, GROUP } from './degrees.ts';
import type { Chord, ChordQuality, Degree } from './model.ts';
import { goesToMinor, kindOf, type SoundKind, scaleFunctionOf } from './scale-function.ts';
import { printedScale } from './scale-print.ts';
import {
  type FunctionRow,
  functionRow,
  type Scale,
  type ScaleFunction,
  scaleByName,
  scaleChroma,
} from './scale-table.ts';

/** A scale on a root. */
export interface ChordScale {
  readonly scale: Scale;
  readonly root: Spelled;
  /** From the root up, one note a degree. */
  readonly notes: readonly Spelled[];
}

/** Scales of each kind of sound, the usual one first; those that hold the chord are kept. */
const SCALES_OF_SOUND: Readonly<Record<SoundKind | 'suspended' | 'diminished', readonly string[]>> =
  {
    major: [
      'ionian',
      'lydian',
      'lydian augmented',
      'mixolydian',
      'lydian b7',
      'half-whole diminished',
    ],
    minor: ['dorian', 'melodic minor', 'aeolian', 'harmonic minor', 'phrygian', 'dorian b2'],
    dominant: [
      'mixolydian',
      'lydian b7',
      'whole tone',
      'half-whole diminished',
      'mixolydian b9 b13',
      'mixolydian b13',
      'mixolydian b9 #9 b13',
      'altered',
    ],
    'half-diminished': ['locrian', 'locrian natural 2'],
    suspended: ['mixolydian', 'dorian b2', 'phrygian', 'ionian', 'aeolian'],
    diminished: ['whole-half diminished', 'locrian'],
  };

/** Five-note, blues and bebop colours that players reach for over a plain chord. */
const COLOURS: Readonly<Partial<Record<string, readonly string[]>>> = {
  major: ['major pentatonic', 'bebop major'],
  minor: ['minor pentatonic', 'blues', 'bebop minor'],
  dominant: ['bebop dominant', 'blues'],
};

/** A plain fifth above the root, as a pitch-class bit. */
const PLAIN_FIFTH = 1 << 7;

/** Notes a scale must hold to fit a chord; a plain fifth is not asked of a scale over a dominant. */
function neededChroma(quality: ChordQuality): number {
  if (quality.family !== 'dominant') return quality.chromaMask;
  if (quality.alt) return 0b10000010001;
  return quality.chromaMask & ~PLAIN_FIFTH;
}

function fits(name: string, needed: number): boolean {
  return (needed & ~scaleChroma(scaleByName(name))) === 0;
}

const ALTERED_FIFTHS = BIT.b5 | BIT.s5;

/** `7#9` and altered fifths with altered ninths take the altered scale first (published scale chart). */
function altersNinth(quality: ChordQuality): boolean {
  const mask = quality.mask;
  const both = (mask & ALTERED_FIFTHS) !== 0 && (mask & BIT.b9) !== 0;
  return quality.family === 'dominant' && ((mask & BIT.s9) !== 0 || both);
}

/** A dominant takes the scale of the minor it goes to unless its symbol says lydian: a raised eleventh over a plain ninth. */
function takesMinor({ family, mask }: ChordQuality): boolean {
  const lydian = (mask & BIT.s11) !== 0 && (mask & GROUP.alteredNinths) === 0;
  return family === 'dominant' && !lydian;
}

function namesBySound(quality: ChordQuality, intoMinor: boolean): readonly string[] {
  if (quality.family === 'suspended' || quality.family === 'diminished') {
    return SCALES_OF_SOUND[quality.family];
  }
  const usual = SCALES_OF_SOUND[kindOf(quality)];
  const names = intoMinor ? [...SCALES_INTO_MINOR, ...usual] : usual;
  return altersNinth(quality) ? ['altered', ...names] : names;
}

/**
 * Scales of a dominant that goes to a minor chord, before those of its sound: the fifth mode of harmonic
 * minor holds the key's own ninth and thirteenth; the altered scale where the fifth is altered. The
 * half-whole diminished is left to dominants that go to major, and to a thirteenth in the symbol. Source:
 * rule `secondary-dominant-tensions` and row `V7-minor` of tests/reference/chord-scales.json.
 */
const SCALES_INTO_MINOR: readonly string[] = [
  'mixolydian b9 b13',
  'altered',
  'mixolydian b9 #9 b13',
  'mixolydian b13',
];

/** Scales of a function, the first choice first; five of minor, and any flat nine into minor, is harmonic minor's own where the fifth is plain. */
function namesByFunction(row: FunctionRow, quality: ChordQuality): readonly string[] {
  const altered = quality.alt || altersNinth(quality) || (quality.mask & ALTERED_FIFTHS) !== 0;
  const says = row.id === 'V7-minor' || (quality.mask & BIT.b9) !== 0;
  const harmonic = goesToMinor(row.id) && says && !altered;
  return harmonic ? [...SCALES_INTO_MINOR.slice(0, 2), ...row.others] : [row.first, ...row.others];
}

/**
 * Scales a player may use over a chord, the first choice first: those of its function that hold the
 * chord's own notes (a second choice may raise a plain fifth: lydian augmented on bIII in minor), then those of its sound, then five-note, blues and bebop colours when the chord is
 * plain. An altered note in the symbol decides before the function does. Notes are spelled for print.
 *
 * @param key key of the place; left out, only the sound counts
 * @param fn the function, when the caller knows it better than root and quality tell
 * @example scalesFor(parse('G7'), C major)[0].scale.name // 'mixolydian'
 * @example scalesFor(a7b9, C major, scaleFunctionOf(a7b9, C major, dm7))[0].scale.name // 'mixolydian b9 b13'
 */
export function scalesFor(
  chord: Chord,
  key: Key | null = null,
  fn: ScaleFunction = scaleFunctionOf(chord, key),
): readonly ChordScale[] {
  const quality = chord.quality;
  const row = functionRow(fn);
  const needed = neededChroma(quality);
  const byFunction = namesByFunction(row, quality);
  const plain = fits(row.first, needed) && fits(byFunction[0] ?? row.first, needed);
  const bySound = namesBySound(quality, goesToMinor(fn) && takesMinor(quality));
  const ordered = plain ? [...byFunction, ...bySound] : [...bySound, ...byFunction];
  const loose = needed & ~PLAIN_FIFTH;
  const names = ordered.filter((name) => fits(name, row.others.includes(name) ? loose : needed));
  if (plain) names.push(...(COLOURS[kindOf(quality)] ?? []));
  return [...new Set(names)].map((name) => {
    const scale = scaleByName(name);
    return { scale, root: chord.root, notes: printedScale(chord, scale, key) };
  });
}

/** A scale on a root: every note is spelled by its degree. */
export function scaleOn(root: Spelled, scale: Scale): ChordScale {
  return { scale, root, notes: scale.degrees.map((degree) => root + degreeFifths(degree)) };
}

/** Degrees that may sound above a chord, and degrees to keep off. */
export interface TensionReading {
  readonly available: readonly Degree[];
  readonly avoid: readonly Degree[];
}

/** All four altered tensions of `7alt`. */
const ALT_TENSIONS: readonly Degree[] = [
  { number: 9, alter: -1 },
  { number: 9, alter: 1 },
  { number: 11, alter: 1 },
  { number: 13, alter: -1 },
];

/**
 * Tensions and avoid notes of a chord as degrees. Where the chord is the plain chord of its function
 * the taught table answers; where the symbol alters it, the rule does: over a dominant every note of its
 * first scale but the natural eleventh, over any other chord the notes a whole step above a chord tone.
 */
export function tensionDegrees(
  chord: Chord,
  key: Key | null = null,
  fn: ScaleFunction = scaleFunctionOf(chord, key),
): TensionReading {
  if (chord.quality.alt) return { available: ALT_TENSIONS, avoid: [] };
  const row = functionRow(fn);
  const fromTable = fits(row.first, neededChroma(chord.quality));
  const reading = fromTable ? tableReading(row) : ruleReading(chord, key, fn);
  const absent = (degree: Degree): boolean => !hasChroma(chord.quality, degree);
  return { available: reading.available.filter(absent), avoid: reading.avoid.filter(absent) };
}

function tableReading(row: FunctionRow): TensionReading {
  return { available: row.tensions, avoid: row.avoid };
}

function chromaAbove(degree: Degree): number {
  return modulo(degreeFifths(degree) * 7, 12);
}

function hasChroma(quality: ChordQuality, degree: Degree): boolean {
  return (quality.chromaMask & (1 << chromaAbove(degree))) !== 0;
}

/** The degree as a tension: a second is a ninth, a fourth an eleventh, a sixth a thirteenth; the lower of two thirds is a sharp ninth. */
function asTension(degree: Degree): Degree {
  if (degree.number === 3 && degree.alter === -1) return { number: 9, alter: 1 };
  const number = { 2: 9, 4: 11, 6: 13 }[degree.number as 2 | 4 | 6];
  return number === undefined ? degree : ({ ...degree, number } as Degree);
}

function ruleReading(chord: Chord, key: Key | null, fn: ScaleFunction): TensionReading {
  const first = scalesFor(chord, key, fn)[0];
  if (first === undefined) return { available: [], avoid: [] };
  const others = first.scale.degrees.filter((degree) => !hasChroma(chord.quality, degree));
  const available = others.filter((degree) => isAvailable(chord.quality, degree));
  const avoid = others.filter((degree) => !available.includes(degree));
  return { available: available.map(asTension), avoid: avoid.map(asTension) };
}

function isAvailable(quality: ChordQuality, degree: Degree): boolean {
  const chroma = chromaAbove(degree);
  if (quality.family === 'dominant') return chroma !== 5;
  return (quality.chromaMask & (1 << modulo(chroma - 1, 12))) === 0;
}

/**
 * Tensions that may sound above a chord, spelled, without the chord's own notes.
 *
 * @example tensionsOf(parse('Cmaj7'), C major) // D and A
 */
export function tensionsOf(
  chord: Chord,
  key: Key | null = null,
  fn: ScaleFunction = scaleFunctionOf(chord, key),
): Spelled[] {
  return tensionDegrees(chord, key, fn).available.map(
    (degree) => chord.root + degreeFifths(degree),
  );
}

/**
 * Notes to keep off above a chord: they take away what it does.
 *
 * @example avoidNotes(parse('Cmaj7'), C major) // F
 */
export function avoidNotes(
  chord: Chord,
  key: Key | null = null,
  fn: ScaleFunction = scaleFunctionOf(chord, key),
): Spelled[] {
  return tensionDegrees(chord, key, fn).avoid.map((degree) => chord.root + degreeFifths(degree));
}
