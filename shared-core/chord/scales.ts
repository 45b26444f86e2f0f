import type { Key } from '../pitch/key.ts';
import { chromaOf, modulo, type Spelled } from '../pitch/spelled.ts';
import { BIT, degreeFifths, GROUP } from './degrees.ts';
import type { Chord, ChordQuality, Degree } from './model.ts';
import {
  type FunctionRow,
  functionRow,
  type Scale,
  type ScaleFunction,
  scaleByName,
  scaleChroma,
} from './scale-table.ts';

/** A scale on a root, spelled by its degrees. */
export interface ChordScale {
  readonly scale: Scale;
  readonly root: Spelled;
  readonly notes: readonly Spelled[];
}

/** Functions of chords in a major key by semitones above the tonic, one table for each kind of chord. */
const MAJOR_KEY = {
  major: { 0: 'I', 5: 'IV' },
  minor: { 0: 'i7', 2: 'ii', 4: 'iii', 5: 'iv7', 9: 'vi' },
  dominant: {
    0: 'V7/IV',
    1: 'subV7',
    2: 'V7/V',
    4: 'V7/vi',
    5: 'bVI7',
    7: 'V7',
    8: 'bVI7',
    9: 'V7/ii',
    10: 'bVII7',
    11: 'V7/iii',
  },
  'half-diminished': { 2: 'iiø', 6: '#iv', 11: 'vii' },
} as const satisfies Record<string, Readonly<Record<number, ScaleFunction>>>;

/** The same in a minor key; what is not here is as in major. */
const MINOR_KEY = {
  major: { 3: 'bIII-minor', 8: 'bVI-minor' },
  minor: { 0: 'i7', 5: 'iv-minor' },
  dominant: { 0: 'V7/vi', 7: 'V7-minor', 10: 'bVII-minor' },
  'half-diminished': { 2: 'iiø' },
} as const satisfies Record<string, Readonly<Record<number, ScaleFunction>>>;

/** Where the key does not say: the scale of the sound alone. */
const BY_SOUND = {
  major: 'borrowed-maj7',
  minor: 'related-ii',
  dominant: 'subV7',
  'half-diminished': 'iiø',
} as const satisfies Record<string, ScaleFunction>;

/** What a chord without a key is most simply taken for. */
const WITHOUT_KEY = {
  major: 'I',
  minor: 'i7',
  dominant: 'V7',
  'half-diminished': 'iiø',
} as const satisfies Record<string, ScaleFunction>;

type SoundKind = keyof typeof BY_SOUND;

function kindOf(quality: ChordQuality): SoundKind {
  switch (quality.family) {
    case 'minor':
    case 'dominant':
    case 'half-diminished':
      return quality.family;
    default:
      return 'major';
  }
}

/** Functions told by the sound alone: suspensions, the augmented dominant, diminished chords. */
function functionBySound(quality: ChordQuality): ScaleFunction | null {
  if (quality.family === 'suspended') return 'V7sus';
  if (quality.family === 'diminished') return 'dim7';
  const raised = (quality.mask & BIT.s5) !== 0 && (quality.mask & GROUP.alteredNinths) === 0;
  if (quality.family === 'dominant' && raised) return 'V7#5';
  return quality.alt ? 'V7-minor' : null;
}

/** Minor chords with a sixth or a major seventh: their scale is the melodic minor. */
function minorColour(quality: ChordQuality, interval: number): ScaleFunction | null {
  if (quality.family !== 'minor') return null;
  if ((quality.mask & BIT.seven) !== 0) return 'imaj7';
  if ((quality.mask & BIT.six) === 0) return null;
  return interval === 5 ? 'iv6' : 'i6';
}

/**
 * What a chord does in a key, at the grain at which scales are taught. Without a key, what it is most
 * simply taken for. A judgement from root and quality alone: the analysis of a tune knows more, and may
 * say the function itself.
 *
 * @example scaleFunctionOf(parse('A7'), C major) // 'V7/ii'
 */
export function scaleFunctionOf(chord: Chord, key: Key | null = null): ScaleFunction {
  const quality = chord.quality;
  const interval = key === null ? 0 : modulo(chromaOf(chord.root) - chromaOf(key.tonic), 12);
  if (key?.mode === 'minor' && interval === 11 && quality.family === 'diminished') {
    return 'vii-minor';
  }
  const bySound = functionBySound(quality) ?? minorColour(quality, interval);
  if (bySound !== null) return bySound;
  const kind = kindOf(quality);
  if (key === null) return WITHOUT_KEY[kind];
  const minor: Readonly<Record<number, ScaleFunction>> = MINOR_KEY[kind];
  const major: Readonly<Record<number, ScaleFunction>> = MAJOR_KEY[kind];
  const inMinor = key.mode === 'minor' ? minor[interval] : undefined;
  return inMinor ?? major[interval] ?? BY_SOUND[kind];
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

/** `7#9` and altered fifths with altered ninths take the altered scale first (published scale chart). */
function altersNinth(quality: ChordQuality): boolean {
  const mask = quality.mask;
  const both = (mask & (BIT.b5 | BIT.s5)) !== 0 && (mask & BIT.b9) !== 0;
  return quality.family === 'dominant' && ((mask & BIT.s9) !== 0 || both);
}

function namesBySound(quality: ChordQuality): readonly string[] {
  if (quality.family === 'suspended' || quality.family === 'diminished') {
    return SCALES_OF_SOUND[quality.family];
  }
  const names = SCALES_OF_SOUND[kindOf(quality)];
  return altersNinth(quality) ? ['altered', ...names] : names;
}

/**
 * Scales a player may use over a chord, the first choice first: those of its function that hold the
 * chord's own notes (a second choice may raise a plain fifth: lydian augmented on bIII in minor), then those of its sound, then five-note, blues and bebop colours when the chord is
 * plain. An altered note in the symbol decides before the function does.
 *
 * @param key key of the place; left out, only the sound counts
 * @param fn the function, when the caller knows it better than root and quality tell
 * @example scalesFor(parse('G7'), C major)[0].scale.name // 'mixolydian'
 */
export function scalesFor(
  chord: Chord,
  key: Key | null = null,
  fn: ScaleFunction = scaleFunctionOf(chord, key),
): readonly ChordScale[] {
  const quality = chord.quality;
  const row = functionRow(fn);
  const needed = neededChroma(quality);
  const plain = fits(row.first, needed);
  const byFunction = [row.first, ...row.others];
  const bySound = namesBySound(quality);
  const ordered = plain ? [...byFunction, ...bySound] : [...bySound, ...byFunction];
  const loose = needed & ~PLAIN_FIFTH;
  const names = ordered.filter((name) => fits(name, row.others.includes(name) ? loose : needed));
  if (plain) names.push(...(COLOURS[kindOf(quality)] ?? []));
  return [...new Set(names)].map((name) => scaleOn(chord.root, scaleByName(name)));
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

/** The degree as a tension: a second is a ninth, a fourth an eleventh, a sixth a thirteenth. */
function asTension(degree: Degree): Degree {
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
