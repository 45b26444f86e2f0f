import { performance } from 'node:perf_hooks';

/** One thing whose speed is watched. A `*.bench.ts` file beside this one exports a list by default. */
export interface Bench {
  /** What a person waits for, in plain words. */
  readonly name: string;
  /** What it may take, in milliseconds; left out where nothing is promised. */
  readonly budget?: number;
  /** Why it cannot be measured here; nothing when it can. */
  readonly unavailable?: () => string | undefined;
  /** Runs once before, unmeasured. */
  readonly before?: () => void | Promise<void>;
  readonly run?: () => unknown | Promise<unknown>;
  /** In place of `run`: times in milliseconds, where only the thing itself can take them. */
  readonly times?: () => Promise<readonly number[]>;
  /** Runs once after, unmeasured, also when a run failed. */
  readonly after?: () => void | Promise<void>;
}

/** Times in milliseconds. */
export interface Measured {
  readonly name: string;
  readonly budget: number | null;
  readonly runs: number;
  readonly fastest: number;
  readonly median: number;
  /** 95 of 100 runs took no longer. */
  readonly p95: number;
  readonly within: boolean | null;
}

export interface Unmeasured {
  readonly name: string;
  readonly unavailable: string;
}

const WARM_UP_RUNS = 3;
const FEWEST_RUNS = 10;
const MOST_RUNS = 1000;
const LONGEST = 2000;

/** Runs one bench: three times to warm up, then ten times at least and for two seconds at most. */
export async function measure(bench: Bench): Promise<Measured | Unmeasured> {
  const unavailable = bench.unavailable?.();
  if (unavailable !== undefined) return { name: bench.name, unavailable };
  await bench.before?.();
  try {
    if (bench.times) return summarise(bench, await bench.times());
    for (let run = 0; run < WARM_UP_RUNS; run += 1) await bench.run?.();
    return summarise(bench, await timeRuns(bench));
  } finally {
    await bench.after?.();
  }
}

async function timeRuns(bench: Bench): Promise<readonly number[]> {
  const times: number[] = [];
  let total = 0;
  while (times.length < FEWEST_RUNS || (total < LONGEST && times.length < MOST_RUNS)) {
    const start = performance.now();
    await bench.run?.();
    const time = performance.now() - start;
    times.push(time);
    total += time;
  }
  return times;
}

/** @param times in milliseconds, at least one */
export function summarise(
  bench: Pick<Bench, 'name' | 'budget'>,
  times: readonly number[],
): Measured {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.ceil(share * sorted.length) - 1] ?? Number.NaN;
  const median = at(0.5);
  return {
    name: bench.name,
    budget: bench.budget ?? null,
    runs: sorted.length,
    fastest: sorted[0] ?? Number.NaN,
    median,
    p95: at(0.95),
    within: bench.budget === undefined ? null : median <= bench.budget,
  };
}
