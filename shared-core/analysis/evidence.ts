import { modulo } from '../pitch/spelled.ts';
import { CLASS, CLASS_COUNT, canBeTonic, isDominantClass } from './facts.ts';
import type { Runs } from './runs.ts';
import { HELD, MAJOR_FIT, MINOR_FIT, MOTION, SECTION_OPENS } from './weights.ts';

/** The 24 keys as numbers: 2 x tonic chroma, plus 1 for minor. */
export const KEY_COUNT = 24;

/** Number of a key. `keyNumber(3, true)` is E flat minor, 7. */
export function keyNumber(tonic: number, minor: boolean): number {
  return modulo(tonic, 12) * 2 + (minor ? 1 : 0);
}

const FIT = buildFit();

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

/** What a chord says for the key of which it is the tonic when it is held long or opens a section. */
export function addPlace(runs: Runs, run: number, out: Float64Array): void {
  const root = runs.root[run] ?? -1;
  const held = Math.min(((runs.bars[run] ?? 0) - HELD.from) * HELD.perBar, HELD.most);
  const gain = Math.max(held, 0) + (runs.opensSection[run] === 1 ? SECTION_OPENS : 0);
  if (root < 0 || gain === 0) return;
  for (const minor of [false, true]) {
    const key = keyNumber(root, minor);
    if (canBeTonic(runs.kind[run] ?? 0, minor)) out[key] = (out[key] ?? 0) + gain;
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
