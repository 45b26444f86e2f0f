import { modulo } from '../pitch/spelled.ts';
import type { Chorus } from '../tune/model.ts';
import { bluesFit, bluesReadings } from './blues.ts';
import { fitOf, KEY_COUNT, keyNumber, motionOf } from './evidence.ts';
import { CLASS, canBeTonic, isDominantClass, isMajorClass, isMinorClass } from './facts.ts';
import type { Runs } from './runs.ts';
import { KEY_PLACES, TUNE_KEY } from './weights.ts';

/** Names of the signs that point at the tune's key, in the order of their columns. */
export const FEATURES = Object.keys(TUNE_KEY) as (keyof typeof TUNE_KEY)[];

type Sign = keyof typeof TUNE_KEY;

/** Column of each sign. */
const COLUMN = Object.fromEntries(FEATURES.map((sign, index) => [sign, index])) as Record<
  Sign,
  number
>;

const FIRST = ['firstMajor', 'firstMinor', 'firstMinorSeventh', 'firstDominant'] as const;
const LAST = ['lastMajor', 'lastMinor', 'lastMinorSeventh', null] as const;
const OPENING = ['sectionOpens', 'sectionOpens', 'sectionOpens', 'sectionOpens'] as const;

/** Writes one figure of one key. */
type Put = (key: number, sign: Sign, value: number) => void;

/**
 * The signs for each of the 24 keys: rows of {@link FEATURES} figures. The key of the tune is the one
 * with the greatest weighted sum.
 */
export function featuresOf(chorus: Chorus, runs: Runs): Float64Array {
  const out = new Float64Array(KEY_COUNT * FEATURES.length);
  const put: Put = (key, sign, value) => {
    const at = key * FEATURES.length + COLUMN[sign];
    out[at] = (out[at] ?? 0) + value;
  };
  const sounding = soundingRuns(runs);
  if (sounding.length === 0) return out;
  putFit(runs, sounding, put);
  putMotion(runs, sounding, put);
  const closing = closingOf(runs, sounding);
  putEdges(runs, sounding, put);
  putOpening(runs, sounding, closing, put);
  putSections(runs, sounding, put);
  putReturns(runs, sounding, put);
  putClosing(runs, sounding, closing, put);
  const blues = bluesReadings(chorus);
  for (let key = 0; key < KEY_COUNT; key += 1) {
    put(key, 'blues', bluesFit(blues, key >> 1, key % 2 === 1));
    if (key % 2 === 1) put(key, 'minor', 1);
  }
  return out;
}

/** Number of the key the signs point to. */
export function inferKey(chorus: Chorus, runs: Runs): number {
  const signs = featuresOf(chorus, runs);
  let best = 0;
  let bestScore = Number.NEGATIVE_INFINITY;
  for (let key = 0; key < KEY_COUNT; key += 1) {
    let score = 0;
    FEATURES.forEach((sign, index) => {
      score += TUNE_KEY[sign] * (signs[key * FEATURES.length + index] ?? 0);
    });
    if (score > bestScore) {
      bestScore = score;
      best = key;
    }
  }
  return best;
}

function soundingRuns(runs: Runs): number[] {
  const list: number[] = [];
  for (let run = 0; run < runs.count; run += 1) if ((runs.root[run] ?? -1) >= 0) list.push(run);
  return list;
}

/** Mean fit of the chords, weighted by length. */
function putFit(runs: Runs, sounding: readonly number[], put: Put): void {
  const fit = new Float64Array(KEY_COUNT);
  let weight = 0;
  for (const run of sounding) weight += Math.sqrt(Math.min(runs.bars[run] ?? 0, 4));
  for (const run of sounding) {
    fitOf(runs, run, fit);
    for (let key = 0; key < KEY_COUNT; key += 1) put(key, 'fit', (fit[key] ?? 0) / (weight || 1));
    const root = runs.root[run] ?? 0;
    const kind = runs.kind[run] ?? 0;
    const share = Math.sqrt(Math.min(runs.bars[run] ?? 0, 4)) / (weight || 1);
    if (canBeTonic(kind, false)) put(keyNumber(root, false), 'tonicShare', share);
    if (canBeTonic(kind, true)) put(keyNumber(root, true), 'tonicShare', share);
    if (kind === CLASS.dom) put(keyNumber(root, false), 'bluesTonicShare', share);
  }
}

/** Cadences and twos, each weighted by where it arrives. */
function putMotion(runs: Runs, sounding: readonly number[], put: Put): void {
  const count = sounding.length;
  for (let i = 0; i < count; i += 1) {
    const from = sounding[i] ?? 0;
    const to = sounding[(i + 1) % count] ?? 0;
    for (const motion of motionOf(runs, from, to)) {
      const place = 0.5 + 0.25 * (runs.strength[to] ?? 0);
      put(motion.key, 'motion', (motion.score * place) / count);
    }
  }
}

/** First and last chords. */
function putEdges(runs: Runs, sounding: readonly number[], put: Put): void {
  const first = sounding[0] ?? 0;
  const last = sounding[sounding.length - 1] ?? 0;
  putTonicAt(runs, first, put, FIRST);
  putTonicAt(runs, last, put, LAST);
  putFinalArrival(runs, sounding, put);
}

/** The last chord of the form that a dominant brings home: the final cadence, before any turnaround. */
function putFinalArrival(runs: Runs, sounding: readonly number[], put: Put): void {
  for (let i = sounding.length - 1; i > 0; i -= 1) {
    const to = sounding[i] ?? 0;
    const from = sounding[i - 1] ?? 0;
    if (!isStep(runs, from, to, 5) || !isDominantClass(runs.kind[from] ?? 0)) continue;
    const minor = canBeTonic(runs.kind[to] ?? 0, true);
    if (!minor && !canBeTonic(runs.kind[to] ?? 0, false)) continue;
    put(keyNumber(runs.root[to] ?? 0, minor), 'finalArrival', 1);
    return;
  }
}

/** Chords that open sections, and the chords that rest where a section ends and another follows. */
function putSections(runs: Runs, sounding: readonly number[], put: Put): void {
  const places = sounding.flatMap((run, i) => (runs.opensSection[run] === 1 && i > 0 ? [i] : []));
  for (const i of places) putTonicAt(runs, sounding[i] ?? 0, put, OPENING, 1 / places.length);
  putRestsBefore(runs, sounding, places, (key, share) => put(key, 'sectionCloses', share));
}

/**
 * What the first chord is when it is no home: the two of a two-five, or a dominant on its way. Both
 * speak against the key of which it would be the tonic.
 */
function putOpening(
  runs: Runs,
  sounding: readonly number[],
  closing: number | null,
  put: Put,
): void {
  const first = sounding[0] ?? 0;
  const next = sounding[1 % sounding.length] ?? first;
  const root = runs.root[first] ?? 0;
  const kind = runs.kind[first] ?? 0;
  if (isMinorClass(kind) && isDominantClass(runs.kind[next] ?? 0) && isStep(runs, first, next, 5)) {
    put(keyNumber(root, true), 'opensAsTwo', 1);
  }
  if (kind !== CLASS.dom || (runs.bars[first] ?? 0) >= KEY_PLACES.heldOpening) return;
  if (closing !== null && !isStep(runs, first, closing, 0)) {
    put(keyNumber(root, false), 'opensOnTheWay', 1);
  }
}

/**
 * The last chord that rests: what is left at the end when a turnaround is taken away. Inside a bar it
 * says half as much, unless it is the very last chord.
 */
function putClosing(
  runs: Runs,
  sounding: readonly number[],
  closing: number | null,
  put: Put,
): void {
  if (closing === null) return;
  const minor = canBeTonic(runs.kind[closing] ?? 0, true);
  const last = closing === sounding[sounding.length - 1];
  const strong = last || (runs.strength[closing] ?? 0) >= 1 ? 1 : 0.5;
  put(keyNumber(runs.root[closing] ?? 0, minor), 'closing', strong);
}

/** The last run that rests; null when none does. The six of a minor opening before its five is passed over. */
function closingOf(runs: Runs, sounding: readonly number[]): number | null {
  for (let i = sounding.length - 1; i >= 0; i -= 1) {
    const run = sounding[i] ?? 0;
    const next = sounding[(i + 1) % sounding.length] ?? 0;
    if (rests(runs, run, next) && !isSixBeforeFive(runs, sounding, run)) return run;
  }
  return null;
}

/**
 * Whether `run` is the six of a minor first chord while the form ends on that chord's five: six to five
 * is the half cadence of minor, a question and not the answer.
 */
function isSixBeforeFive(runs: Runs, sounding: readonly number[], run: number): boolean {
  const first = sounding[0] ?? 0;
  const last = sounding[sounding.length - 1] ?? 0;
  return (
    isMinorClass(runs.kind[first] ?? 0) &&
    isMajorClass(runs.kind[run] ?? 0) &&
    isStep(runs, first, run, 8) &&
    isDominantClass(runs.kind[last] ?? 0) &&
    isStep(runs, first, last, 7)
  );
}

/** The chord that rests just before the top comes back: where the repeated phrase ends. */
function putReturns(runs: Runs, sounding: readonly number[], put: Put): void {
  const returns = returnsOf(runs, sounding);
  putRestsBefore(runs, sounding, returns, (key, share) => put(key, 'beforeReturn', share));
}

/** Hands on the key of the last chord that rests before each place, past a turnaround, with the place's share. */
function putRestsBefore(
  runs: Runs,
  sounding: readonly number[],
  places: readonly number[],
  give: (key: number, share: number) => void,
): void {
  for (const at of places) {
    for (let i = at - 1; i >= Math.max(0, at - KEY_PLACES.turnaroundChords); i -= 1) {
      const run = sounding[i] ?? 0;
      if (!rests(runs, run, sounding[i + 1] ?? 0)) continue;
      const minor = canBeTonic(runs.kind[run] ?? 0, true);
      give(keyNumber(runs.root[run] ?? 0, minor), 1 / places.length);
      break;
    }
  }
}

/** Places in `sounding` where the first three chords of the form come again, a phrase or more later. */
function returnsOf(runs: Runs, sounding: readonly number[]): number[] {
  const same = (a: number, b: number): boolean =>
    runs.root[sounding[a] ?? 0] === runs.root[sounding[b] ?? 0] &&
    runs.kind[sounding[a] ?? 0] === runs.kind[sounding[b] ?? 0];
  const returns: number[] = [];
  let bars = 0;
  for (let i = 0; i + 2 < sounding.length; i += 1) {
    if (bars >= KEY_PLACES.phraseBars && same(0, i) && same(1, i + 1) && same(2, i + 2))
      returns.push(i);
    bars += runs.bars[sounding[i] ?? 0] ?? 0;
  }
  return returns;
}

/** A chord rests when it can be a tonic and is not the two (or the four) of the dominant after it. */
function rests(runs: Runs, run: number, next: number): boolean {
  const kind = runs.kind[run] ?? 0;
  if (!canBeTonic(kind, true) && !canBeTonic(kind, false)) return false;
  const leads =
    isDominantClass(runs.kind[next] ?? 0) &&
    (isStep(runs, run, next, 5) || isStep(runs, run, next, 2));
  return !leads || (runs.bars[run] ?? 0) >= 2;
}

/** Whether the root of run `to` lies `up` semitones above that of run `from`. */
function isStep(runs: Runs, from: number, to: number, up: number): boolean {
  return modulo((runs.root[to] ?? 0) - (runs.root[from] ?? 0), 12) === up;
}

function putTonicAt(
  runs: Runs,
  run: number,
  put: Put,
  signs: readonly [major: Sign, minor: Sign, minorSeventh: Sign, blues: Sign | null],
  amount = 1,
): void {
  const root = runs.root[run] ?? 0;
  const kind = runs.kind[run] ?? 0;
  if (canBeTonic(kind, false)) put(keyNumber(root, false), signs[0], amount);
  if (kind === CLASS.min7) put(keyNumber(root, true), signs[2], amount);
  else if (canBeTonic(kind, true)) put(keyNumber(root, true), signs[1], amount);
  if (signs[3] !== null && (kind === CLASS.dom || kind === CLASS.sus)) {
    put(keyNumber(root, false), signs[3], amount);
  }
}
