import { addPlace, fitOf, KEY_COUNT, keyNumber, motionOf } from './evidence.ts';
import { canBeTonic } from './facts.ts';
import type { Runs } from './runs.ts';
import { HOME_ANCHOR, MODULATION } from './weights.ts';

/** Keys a little cheaper to go to. */
const NEAREST = 4;

const RELATED = buildRelated();

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
    addPlace(runs, run, fit);
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
