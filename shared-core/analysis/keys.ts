import { modulo } from '../pitch/spelled.ts';
import { CLASS, CLASS_COUNT, canBeTonic, isDominantClass } from './facts.ts';
import type { Runs } from './runs.ts';
import { HELD, HOME_ANCHOR, MAJOR_FIT, MINOR_FIT, MODULATION, MOTION } from './weights.ts';

/** The 24 keys as numbers: 2 x tonic chroma, plus 1 for minor. */
export const KEY_COUNT = 24;

/** Keys a little cheaper to go to. */
const NEAREST = 4;

/** Number of a key. `keyNumber(3, true)` is E flat minor, 7. */
export function keyNumber(tonic: number, minor: boolean): number {
  return modulo(tonic, 12) * 2 + (minor ? 1 : 0);
}

const FIT = buildFit();
const RELATED = buildRelated();

/** Fit of a root and class in each key: 12 x classes rows of 24. */
function buildFit(): Float64Array {
  const table = new Float64Array(12 * CLASS_COUNT * KEY_COUNT);
  for (let root = 0; root < 12; root += 1) {
    for (let kind = 0; kind < CLASS_COUNT; kind += 1) {
      for (let key = 0; key < KEY_COUNT; key += 1) {
        const rows = key % 2 === 0 ? MAJOR_FIT : MINOR_FIT;
        const degree = modulo(root - (key >> 1), 12);
        table[(root * CLASS_COUNT + kind) * KEY_COUNT + key] = rows[degree]?.[kind] ?? 0;
      }
    }
  }
  return table;
}

/** For each key the four nearest: a fifth up and down in the same mode, parallel, relative. */
function buildRelated(): Uint8Array {
  const table = new Uint8Array(KEY_COUNT * NEAREST);
  for (let key = 0; key < KEY_COUNT; key += 1) {
    const tonic = key >> 1;
    const minor = key % 2 === 1;
    table[key * NEAREST] = keyNumber(tonic + 7, minor);
    table[key * NEAREST + 1] = keyNumber(tonic + 5, minor);
    table[key * NEAREST + 2] = keyNumber(tonic, !minor);
    table[key * NEAREST + 3] = keyNumber(tonic + (minor ? 3 : 9), !minor);
  }
  return table;
}

/** How well run `run` sits in each key, weighted by its length; written to `out` (24 figures). */
export function fitOf(runs: Runs, run: number, out: Float64Array): void {
  const root = runs.root[run] ?? -1;
  if (root < 0) {
    out.fill(0);
    return;
  }
  const base = (root * CLASS_COUNT + (runs.kind[run] ?? 0)) * KEY_COUNT;
  const weight = lengthWeight(runs.bars[run] ?? 0);
  for (let key = 0; key < KEY_COUNT; key += 1) out[key] = weight * (FIT[base + key] ?? 0);
}

/** What a long hold says for the key of which the chord is the tonic. */
function addHeld(runs: Runs, run: number, out: Float64Array): void {
  const root = runs.root[run] ?? -1;
  const held = Math.min(((runs.bars[run] ?? 0) - HELD.from) * HELD.perBar, HELD.most);
  if (root < 0 || held <= 0) return;
  for (const minor of [false, true]) {
    const key = keyNumber(root, minor);
    if (canBeTonic(runs.kind[run] ?? 0, minor)) out[key] = (out[key] ?? 0) + held;
  }
}

/** Two bars of a chord say more than one, but not twice as much; four bars and more say no more. */
function lengthWeight(bars: number): number {
  return Math.sqrt(Math.min(bars, 4));
}

/** A sign of motion: for key `key`, `score`. At most two keys gain from one motion. */
export interface Motion {
  readonly key: number;
  readonly score: number;
}

const NO_MOTION: readonly Motion[] = [];

/** What the step from run `from` to run `to` says about keys. */
export function motionOf(runs: Runs, from: number, to: number): readonly Motion[] {
  const rootA = runs.root[from] ?? -1;
  const rootB = runs.root[to] ?? -1;
  if (rootA < 0 || rootB < 0) return NO_MOTION;
  const a = runs.kind[from] ?? 0;
  const b = runs.kind[to] ?? 0;
  const up = modulo(rootB - rootA, 12);
  const arrival = arrivalOf(a, b, up, rootB);
  if (arrival.length > 0) return arrival;
  return up === 5 ? twoFiveOf(a, b, rootB) : NO_MOTION;
}

/** The motion onto a chord that can be a tonic. */
function arrivalOf(a: number, b: number, up: number, tonic: number): readonly Motion[] {
  const minor = canBeTonic(b, true);
  if (!minor && !canBeTonic(b, false)) return NO_MOTION;
  const score = arrivalScore(a, up, minor);
  if (score === 0) return NO_MOTION;
  return [{ key: keyNumber(tonic, minor), score }];
}

function arrivalScore(a: number, up: number, minor: boolean): number {
  if (up === 5) {
    if (a === CLASS.dom) return MOTION.fiveOne;
    return isDominantClass(a) || a === CLASS.maj ? MOTION.plainFiveOne : 0;
  }
  if (up === 2 && a === CLASS.dom) return MOTION.backdoor;
  if (up === 11 && a === CLASS.dom) return MOTION.tritone;
  if (up === 1 && a === CLASS.dim) return MOTION.leadingTone;
  if (up === 7 && !isDominantClass(a) && (minor || a !== CLASS.hdim)) return MOTION.plagal;
  return 0;
}

/** ii to V7: the key is that of the chord V would go to; the two tells its mode. */
function twoFiveOf(a: number, b: number, five: number): readonly Motion[] {
  if (b !== CLASS.dom && b !== CLASS.sus) return NO_MOTION;
  const tonic = five + 5;
  if (a === CLASS.dom) return [{ key: keyNumber(tonic, false), score: MOTION.dominantToFive }];
  if (a === CLASS.min7 || a === CLASS.min) {
    return [
      { key: keyNumber(tonic, false), score: MOTION.twoFive },
      { key: keyNumber(tonic, true), score: MOTION.twoFive * 0.4 },
    ];
  }
  if (a !== CLASS.hdim) return NO_MOTION;
  return [
    { key: keyNumber(tonic, true), score: MOTION.twoFive },
    { key: keyNumber(tonic, false), score: MOTION.twoFive * 0.5 },
  ];
}

/**
 * The key of every run: the best path through the 24 keys around the form, so that the end leads to the
 * top. The path starts and ends at the {@link anchorOf | anchor}, where the tune's own key is certain;
 * that makes one walk around the circle exact. A form that never touches its key is walked three times
 * and the middle walk is read.
 *
 * Time: runs x 24 x 6.
 *
 * @param home key number of the tune; other keys pay a little for every run.
 */
export function localKeys(runs: Runs, home: number): Uint8Array {
  const path = new Uint8Array(runs.count).fill(home);
  if (runs.count < 2) return path;
  const anchor = anchorOf(runs, home);
  const steps = anchor === null ? 3 * runs.count : runs.count + 1;
  const start = anchor ?? 0;
  const came = new Uint8Array(steps * KEY_COUNT);
  const last = walk(runs, home, { start, steps, anchored: anchor !== null }, came);
  let key = anchor === null ? bestKey(last) : home;
  const first = anchor === null ? runs.count : 0;
  for (let step = steps - 1; step >= first; step -= 1) {
    if (step < first + runs.count) path[(start + step) % runs.count] = key;
    key = came[step * KEY_COUNT + key] ?? key;
  }
  return path;
}

/**
 * The run where the tune's own key is most certain: its tonic chord, the longer and the nearer to a
 * section's start the better; else the chord that sits best in it. Null when no chord does.
 */
function anchorOf(runs: Runs, home: number): number | null {
  const fit = new Float64Array(KEY_COUNT);
  let best: number | null = null;
  let bestScore: number = HOME_ANCHOR.least;
  for (let run = 0; run < runs.count; run += 1) {
    fitOf(runs, run, fit);
    const tonic = runs.root[run] === home >> 1 && canBeTonic(runs.kind[run] ?? 0, home % 2 === 1);
    const place = HOME_ANCHOR.perStrength * (runs.strength[run] ?? 0);
    const score = (fit[home] ?? 0) + (tonic ? HOME_ANCHOR.tonic + place : 0);
    if (score > bestScore) {
      best = run;
      bestScore = score;
    }
  }
  return best;
}

/** Where a walk around the form begins, how long it is, and whether it begins in the tune's key for certain. */
interface Walk {
  readonly start: number;
  readonly steps: number;
  readonly anchored: boolean;
}

/** Walks the circle, notes in `came` from which key each key was reached, and returns the last scores. */
function walk(runs: Runs, home: number, { start, steps, anchored }: Walk, came: Uint8Array) {
  let before = new Float64Array(KEY_COUNT);
  let now = new Float64Array(KEY_COUNT);
  const fit = new Float64Array(KEY_COUNT);
  for (let step = 0; step < steps; step += 1) {
    const run = (start + step) % runs.count;
    fitOf(runs, run, fit);
    addHeld(runs, run, fit);
    if (step === 0) now.fill(anchored ? Number.NEGATIVE_INFINITY : 0);
    else advance(runs, run, before, now, came.subarray(step * KEY_COUNT, (step + 1) * KEY_COUNT));
    if (step === 0) now[home] = 0;
    for (let key = 0; key < KEY_COUNT; key += 1) {
      const away = key === home ? 0 : MODULATION.awayFromHome;
      now[key] = (now[key] ?? 0) + (fit[key] ?? 0) - away;
    }
    [before, now] = [now, before];
  }
  return before;
}

/**
 * One step of the path: the best way into each key at `run`. A key is reached by staying, from the best
 * key of all at the full price, or from one of its four nearest at the lower one.
 */
function advance(
  runs: Runs,
  run: number,
  before: Float64Array,
  now: Float64Array,
  came: Uint8Array,
): void {
  const scale = runs.opensSection[run] === 1 ? MODULATION.atSectionStart : 1;
  const far = scale * MODULATION.price;
  const near = scale * (MODULATION.price - MODULATION.related);
  const best = bestKey(before);
  const fromAfar = (before[best] ?? 0) - far;
  for (let to = 0; to < KEY_COUNT; to += 1) {
    let score = before[to] ?? 0;
    let from = to;
    if (fromAfar > score) {
      score = fromAfar;
      from = best;
    }
    for (let n = 0; n < NEAREST; n += 1) {
      const key = RELATED[to * NEAREST + n] ?? 0;
      const fromNear = (before[key] ?? 0) - near;
      if (fromNear > score) {
        score = fromNear;
        from = key;
      }
    }
    now[to] = score;
    came[to] = from;
  }
  const previous = (run + runs.count - 1) % runs.count;
  for (const motion of motionOf(runs, previous, run)) {
    const staying = (before[motion.key] ?? 0) + motion.score;
    if (staying > (now[motion.key] ?? 0)) {
      now[motion.key] = staying;
      came[motion.key] = motion.key;
    }
  }
}

function bestKey(scores: Float64Array): number {
  let best = 0;
  for (let key = 1; key < KEY_COUNT; key += 1) {
    if ((scores[key] ?? 0) > (scores[best] ?? 0)) best = key;
  }
  return best;
}
