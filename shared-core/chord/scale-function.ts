import type { Key } from '../pitch/key.ts';
import { chromaOf, modulo } from '../pitch/spelled.ts';
import { qualityOf } from './build.ts';
import { BIT, GROUP } from './degrees.ts';
import type { Chord, ChordQuality } from './model.ts';
import type { ScaleFunction } from './scale-table.ts';

/**
 * What a chord does in its key, at the grain at which scales are taught. Degrees of functions follow
 * tests/reference/chord-scales.json, where each row has its sources.
 */

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

export type SoundKind = keyof typeof BY_SOUND;

/** The kind of sound of a quality: what decides where the function does not. */
export function kindOf(quality: ChordQuality): SoundKind {
  switch (quality.family) {
    case 'minor':
    case 'dominant':
    case 'half-diminished':
      return quality.family;
    default:
      return 'major';
  }
}

/** Seventh chord without alterations, to ask what a root does as a dominant. */
const PLAIN_SEVENTH: ChordQuality = qualityOf('7');

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

/** Whether a dominant goes to a chord in minor: then its scale is taken from that minor. */
const INTO_MINOR: ReadonlySet<ScaleFunction> = new Set(['V7-minor', 'V7/ii', 'V7/iii', 'V7/vi']);

/** Whether a function is that of a dominant that goes to a minor chord. */
export function goesToMinor(fn: ScaleFunction): boolean {
  return INTO_MINOR.has(fn);
}

/**
 * What a dominant does by where it goes: rules `secondary-dominant-tensions` and rows `subV7` and `ext-dom`
 * of tests/reference/chord-scales.json. Null where it goes neither down a fifth nor down a semitone.
 */
function functionByGoal(chord: Chord, goal: Chord, inKey: ScaleFunction): ScaleFunction | null {
  const up = modulo(chromaOf(goal.root) - chromaOf(chord.root), 12);
  if (up === 11) return 'subV7';
  if (up !== 5) return null;
  switch (goal.quality.family) {
    case 'minor':
    case 'half-diminished':
      return goesToMinor(inKey) ? inKey : 'V7-minor';
    case 'major':
    case 'power':
      return goesToMinor(inKey) ? 'V7' : mixolydianOf(inKey);
    case 'dominant':
    case 'suspended':
      return goesToMinor(inKey) ? 'ext-dom' : mixolydianOf(inKey);
    default:
      return null;
  }
}

/** The function in the key where it is that of a dominant falling a fifth, else the plain five. */
function mixolydianOf(inKey: ScaleFunction): ScaleFunction {
  return inKey === 'V7/IV' || inKey === 'V7/V' ? inKey : 'V7';
}

/**
 * What a chord does in a key, at the grain at which scales are taught. Without a key, what it is most
 * simply taken for. A judgement from root and quality, and for a dominant from what it goes to where that
 * is known: A7 before Dm7 is another chord than A7 before Dmaj7.
 *
 * @param goal the chord that follows; null when it is not known
 * @example scaleFunctionOf(parse('A7'), C major) // 'V7/ii'
 * @example scaleFunctionOf(parse('A7'), C major, parse('Dmaj7')) // 'V7'
 */
export function scaleFunctionOf(
  chord: Chord,
  key: Key | null = null,
  goal: Chord | null = null,
): ScaleFunction {
  const told = functionBySound(chord.quality);
  if (told === 'V7sus' || told === 'dim7' || chord.quality.alt) return functionInKey(chord, key);
  const inKey = functionInKey(chord, key);
  if (chord.quality.family !== 'dominant' || goal === null) return inKey;
  const known = told === null ? inKey : functionInKey({ ...chord, quality: PLAIN_SEVENTH }, key);
  const byGoal = functionByGoal(chord, goal, known);
  if (told !== null) return byGoal !== null && goesToMinor(byGoal) ? byGoal : told;
  return byGoal ?? inKey;
}

/** A judgement from root and quality alone. */
function functionInKey(chord: Chord, key: Key | null): ScaleFunction {
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
