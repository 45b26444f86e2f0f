import { chordOf, qualityOf } from '../chord/build.ts';
import type { Chord, ChordQuality } from '../chord/model.ts';
import { distanceFrom, inSignature } from '../pitch/copyist.ts';
import type { Key } from '../pitch/key.ts';
import { alterOf, chromaOf, type Spelled } from '../pitch/spelled.ts';
import { type Place, type Surroundings, surroundingsOf } from './page.ts';

/**
 * How the roots of a row of chords are spelled for print. A device states every root by what it does (the
 * dominant of the dominant of E is F#), so most spellings are right as they come. Where print would not
 * have one, the row is respelled as a whole: of all spellings the cheapest by the prices below, found
 * exactly. A two and its five, a five and its home stay a fifth apart on paper; a chain of dominants may
 * break once where it would need Cb, Fb, E# or B#; what the key signature or the page already names keeps
 * that name. Common practice, no source.
 */

/** Prices of a spelling; the lowest sum is printed. */
const COST = {
  /** Another name than the one the chord's work gives it. */
  renamed: 1.4,
  /** A double accidental in the third, fifth or seventh, each. */
  doubledTone: 1,
  /** Cb or E#, and Fb or B#, as a root that the key does not know. */
  whiteKey: 3.5,
  rareWhiteKey: 5.5,
  /** The same where it is the very next accidental of the key, or the leading note of a minor key. */
  nearWhiteKey: 0.25,
  /** Cb or E# that only the key of the chord after knows. */
  whiteKeyAhead: 2,
  /** The note is in the signature, or on the page, under another name; in the chords right beside, more so. */
  otherName: 2,
  otherNameBeside: 4,
  /** A major seventh or sixth is a home of its own, and nobody's home is G#, D# or A#. */
  sharpHome: 10,
  /** A fifth that is not written as one: two to five and into the goal, five to a home on the way, and the rest. */
  brokenUnit: 12,
  brokenHome: 4,
  brokenFifth: 1.5,
  /** A break into Cb, Fb, E# or B#, which it should have spared the reader. */
  brokenForNothing: 1,
  /** One root struck twice under two names. */
  brokenRepeat: 6,
  /** A dominant on a sharp that falls a semitone on its own letter: their chains go down in flats. */
  fallingSharp: 2,
} as const;

const C_FLAT = -7;
const E_SHARP = 11;
const C_SHARP = 7;

/** Fifths between a note and itself a semitone lower. */
const FLATTENED = 7;

/** Fifths from a tonic up to its leading note. */
const LEADING_NOTE = 5;

/** Cb, Fb, E#, B#: the white keys under another letter. */
const isWhiteKey = (root: Spelled): boolean => root <= C_FLAT || root >= E_SHARP;

/** The names without double accidentals of every chroma, Fb to B#. */
const NAMES: readonly (readonly Spelled[])[] = Array.from({ length: 12 }, (_, chroma) =>
  Array.from({ length: 21 }, (__, i) => i - 8).filter((pc) => chromaOf(pc) === chroma),
);

/** Cb, Fb, E# and B#, by what the key has to do with them; Cb and E#, which are read more often, also by the homes beside. */
function whiteKeyCost({ key, keys, ahead }: Surroundings, root: Spelled): number {
  if (!isWhiteKey(root)) return 0;
  if ([...keys, ...ahead].some((one) => isLeading(one, root))) return COST.nearWhiteKey;
  if (root !== C_FLAT && root !== E_SHARP) return whiteKeyIn(key, root);
  const here = keys.map((one) => whiteKeyIn(one, root));
  const later = ahead.map((one) => Math.max(COST.whiteKeyAhead, whiteKeyIn(one, root)));
  return Math.min(...here, ...later);
}

function whiteKeyIn(key: Key, root: Spelled): number {
  if (inSignature(key, root)) return 0;
  const distance = distanceFrom(key, root);
  const next = (root === C_FLAT && distance === -2) || (root === E_SHARP && distance === 6);
  if (next) return COST.nearWhiteKey;
  return root === C_FLAT || root === E_SHARP ? COST.whiteKey : COST.rareWhiteKey;
}

/** The raised leading note of a minor key. */
function isLeading(key: Key, root: Spelled): boolean {
  return key.mode === 'minor' && root === key.tonic + LEADING_NOTE;
}

/** Intervals of the tones that a reader must spell out: third, plain or flat fifth, minor seventh. */
const READ = new Set<number>([-3, 4, 1, -6, -2]);

/** Double accidentals among them; a diminished chord is read by its root. */
function doubledTones({ quality }: Chord, root: Spelled): number {
  // Between Bb and G# on the line of fifths there is none.
  if ((root > -3 && root < 9) || quality.family === 'diminished') return 0;
  let count = 0;
  for (let index = 0; index < quality.fifths.length; index += 1) {
    const up = quality.fifths[index] ?? 0;
    if (READ.has(up) && Math.abs(alterOf(root + up)) > 1) count += 1;
  }
  return count;
}

/** Whether a chord is a major chord with more than its triad. */
function isFullHome({ quality }: Chord): boolean {
  return quality.family === 'major' && quality.degrees.length > 3;
}

/** Price of one name for the root of a chord, whatever stands beside it. */
function ownCost(around: Surroundings, of: Chord, root: Spelled): number {
  let cost = root === of.root ? 0 : COST.renamed;
  cost += doubledTones(of, root) * COST.doubledTone;
  cost += nameCost(around, root);
  if (root > C_SHARP && isFullHome(of)) cost += COST.sharpHome;
  return cost;
}

/** Price of a name for a root, whatever chord stands on it; the same few are asked for again and again. */
function nameCost(around: Surroundings, root: Spelled): number {
  let cost = around.nameCosts.get(root);
  if (cost === undefined) {
    cost = otherNameCost(around, root);
    if (around.written[chromaOf(root)] !== root) cost += whiteKeyCost(around, root);
    around.nameCosts.set(root, cost);
  }
  return cost;
}

/** What it costs that the reader knows the sound by another name. */
function otherNameCost({ beside, written, signature, home }: Surroundings, root: Spelled): number {
  const chroma = chromaOf(root);
  const name = written[chroma] ?? signature[chroma] ?? null;
  if (name !== null) {
    if (name === root) return 0;
    return (beside[chroma] ?? null) === null ? COST.otherName : COST.otherNameBeside;
  }
  if (home === null) return 0;
  // Beside Gbmaj7 the fourth is Cb in any key.
  const others = [root + 12, root - 12];
  const owns = others.some((pc) => isWhiteKey(pc) && inSignature(home, pc));
  return owns ? COST.otherName : 0;
}

/** Price of two roots side by side. */
function stepCost(from: Chord, root: Spelled, to: Chord, next: Spelled): number {
  const fifth = root - next - 1;
  if (fifth % 12 === 0) {
    if (fifth === 0) return 0;
    return brokenCost(from, to) + (isWhiteKey(next) ? COST.brokenForNothing : 0);
  }
  if (root - next === FLATTENED) return fallingCost(from, root, to);
  return root !== next && (root - next) % 12 === 0 ? COST.brokenRepeat : 0;
}

/** Half-diminished on the sharp four falls to the minor four as F#m7b5 Fm7; dominants fall as Gb7 F7. */
function fallingCost(from: Chord, root: Spelled, to: Chord): number {
  const dominants = [from, to].every(({ quality }) => quality.family === 'dominant');
  return dominants && alterOf(root) > 0 ? COST.fallingSharp : 0;
}

function brokenCost(from: Chord, to: Chord): number {
  const [a, b] = [from.quality.family, to.quality.family];
  const toFive = b === 'dominant';
  const twoFive = toFive && (a === 'minor' || a === 'half-diminished');
  const fiveOne = !toFive && (a === 'dominant' || a === 'suspended');
  if (twoFive) return COST.brokenUnit;
  return fiveOne ? COST.brokenHome : COST.brokenFifth;
}

/** A chord of a row: a root by what it does with a suffix, or a chord that stands as it is. */
export type Step = Chord | readonly [root: Spelled, suffix: string];

/** A quality by its suffix, and the chords made of it. */
interface Made {
  readonly quality: ChordQuality;
  readonly byRoot: Map<Spelled, Chord>;
}

/** Chords made by rules, so that one chord is one object: at most a few hundred. */
const made = new Map<string, Made>();

/** The chord of a printed root and a suffix. */
export function chordAs(root: Spelled, suffix: string): Chord {
  let like = made.get(suffix);
  if (like === undefined) {
    like = { quality: qualityOf(suffix), byRoot: new Map() };
    made.set(suffix, like);
  }
  let one = like.byRoot.get(root);
  if (one === undefined) {
    one = chordOf(root, like.quality);
    like.byRoot.set(root, one);
  }
  return one;
}

/**
 * The chords of a row, spelled together as a copyist prints them at this place.
 *
 * @param steps roots by what they do, or chords that are fixed
 * @param goal the chord the row leads to, whose name is fixed; null where it leads nowhere by a fifth
 * @example rowIn(B major, [[11, 'm7b5'], [10, '7']], D#m7) // E#m7b5 A#7, and not Fm7b5 Bb7
 * @example rowIn(Bb major, [[-6, 'm7'], [-7, '7']], null) // F#m7 B7, and not Gbm7 Cb7
 */
export function rowIn(
  place: Place,
  steps: readonly Step[],
  goal: Chord | null = null,
): readonly Chord[] {
  const around = surroundingsOf(place);
  const row = steps.map((step) => ('kind' in step ? step : chordAs(step[0], step[1])));
  if (isPlain(around, row, goal)) return row;
  const names = row.map((of, i) => {
    const step = steps[i];
    return step !== undefined && 'kind' in step ? [of.root] : (NAMES[chromaOf(of.root)] ?? []);
  });
  const roots = cheapest(around, row, names, goal);
  return row.map((of, i) => {
    const root = roots[i] ?? of.root;
    return root === of.root ? of : chordAs(root, of.quality.suffix);
  });
}

/** Whether nothing speaks against a row as it comes: then it is the cheapest. */
function isPlain(around: Surroundings, row: readonly Chord[], goal: Chord | null): boolean {
  for (let i = 0; i < row.length; i += 1) {
    const of = row[i];
    const next = row[i + 1] ?? goal;
    if (of === undefined || Math.abs(alterOf(of.root)) > 1) return false;
    if (next !== null && stepCost(of, of.root, next, next.root) > 0) return false;
    if (ownCost(around, of, of.root) > 0) return false;
  }
  return true;
}

/** The cheapest names of a row, by dynamic programming over the names of each chord. */
function cheapest(
  around: Surroundings,
  row: readonly Chord[],
  names: readonly (readonly Spelled[])[],
  goal: Chord | null,
): readonly Spelled[] {
  const totals: number[][] = [];
  const from: number[][] = [];
  row.forEach((of, i) => {
    const before = row[i - 1];
    const ways = (names[i] ?? []).map((root) => {
      const entry =
        before === undefined ? null : entryTo(before, names[i - 1], totals[i - 1], of, root);
      const last = i === row.length - 1 && goal !== null;
      const broken = last && stepCost(of, root, goal, goal.root) > 0;
      const exit = broken ? COST.brokenUnit : 0;
      return {
        from: entry?.from ?? 0,
        cost: (entry?.cost ?? 0) + ownCost(around, of, root) + exit,
      };
    });
    totals.push(ways.map((way) => way.cost));
    from.push(ways.map((way) => way.from));
  });
  return traceBack(names, totals, from);
}

/** The cheapest way into one name of a chord from the names of the chord before. */
function entryTo(
  before: Chord,
  names: readonly Spelled[] = [],
  totals: readonly number[] = [],
  to: Chord,
  next: Spelled,
): { readonly from: number; readonly cost: number } {
  let best = { from: 0, cost: Number.POSITIVE_INFINITY };
  names.forEach((root, i) => {
    const cost = (totals[i] ?? 0) + stepCost(before, root, to, next);
    if (cost < best.cost) best = { from: i, cost };
  });
  return best;
}

function traceBack(
  names: readonly (readonly Spelled[])[],
  totals: readonly (readonly number[])[],
  from: readonly (readonly number[])[],
): readonly Spelled[] {
  const last = totals.at(-1) ?? [];
  let at = last.indexOf(Math.min(...last));
  const roots: Spelled[] = [];
  for (let i = names.length - 1; i >= 0; i -= 1) {
    roots.unshift(names[i]?.[at] ?? 0);
    at = from[i]?.[at] ?? 0;
  }
  return roots;
}
