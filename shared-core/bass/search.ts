import type { Spelled } from '../pitch/spelled.ts';

/** The notes that may stand in one slot, low to high. */
export interface Column {
  readonly midi: readonly number[];
  readonly pc: readonly Spelled[];
  readonly cost: readonly number[];
}

/** Costs of moving from note to note, lower is better, each with its reason. */
const COST = {
  /** Standing still: twice on one note, worse when no chord arrives. */
  still: 4,
  restated: 0.6,
  /** A step is free; a skip costs this much a semitone beyond a tone. */
  skip: 0.2,
  /** Turning round: a line that keeps its direction goes somewhere. */
  turn: 1.3,
} as const;

/** No leap over an octave. */
const WIDEST = 12;

/** State of the search: a note and whether the line came to it from below (1) or not (0). */
const WAYS = 2;

/**
 * Exact search for the cheapest line: the index of the note taken in each column. A state is a note with the
 * direction it was reached in, so that turning round has a price; the tables are flat, because a long
 * arrangement has thousands of slots.
 *
 * @param arrives whether a chord arrives in each column: a note may then be struck again
 */
export function cheapestLine(columns: readonly Column[], arrives: readonly boolean[]): Int16Array {
  const wide = WAYS * widestOf(columns);
  const from = new Int16Array(columns.length * wide);
  let totals = new Float64Array(wide);
  let next = new Float64Array(wide);
  columns.forEach((column, at) => {
    const before = columns[at - 1];
    if (before)
      extend(before, column, totals, next, from.subarray(at * wide), arrives[at] ?? false);
    else begin(column, next);
    [totals, next] = [next, totals];
  });
  return traceBack(columns, totals, from, wide);
}

function widestOf(columns: readonly Column[]): number {
  return columns.reduce((wide, column) => Math.max(wide, column.midi.length), 1);
}

/** The first note may be reached from either side at no price. */
function begin(column: Column, next: Float64Array): void {
  column.cost.forEach((cost, index) => {
    next.fill(cost, index * WAYS, (index + 1) * WAYS);
  });
}

function extend(
  before: Column,
  column: Column,
  totals: Float64Array,
  next: Float64Array,
  from: Int16Array,
  arrives: boolean,
): void {
  next.fill(Number.POSITIVE_INFINITY, 0, column.midi.length * WAYS);
  const still = arrives ? COST.restated : COST.still;
  for (let index = 0; index < column.midi.length; index++) {
    const note = column.midi[index] as number;
    const own = column.cost[index] as number;
    for (let other = 0; other < before.midi.length; other++) {
      const leap = note - (before.midi[other] as number);
      if (leap > WIDEST || leap < -WIDEST) continue;
      const state = other * WAYS;
      const base = own + (leap === 0 ? still : skipCost(leap));
      const down = base + (totals[state] as number);
      const up = base + (totals[state + 1] as number);
      if (leap <= 0) relax(next, from, index * WAYS, down, state);
      if (leap >= 0) relax(next, from, index * WAYS + 1, up, state + 1);
      if (leap < 0) relax(next, from, index * WAYS, up + COST.turn, state + 1);
      if (leap > 0) relax(next, from, index * WAYS + 1, down + COST.turn, state);
    }
  }
}

/** A step is free, a skip grows. */
function skipCost(leap: number): number {
  const size = leap < 0 ? -leap : leap;
  return size > 2 ? (size - 2) * COST.skip : 0;
}

/** Keeps the cheaper way into a state. */
function relax(
  next: Float64Array,
  from: Int16Array,
  at: number,
  cost: number,
  state: number,
): void {
  if (cost < (next[at] as number)) {
    next[at] = cost;
    from[at] = state;
  }
}

function traceBack(
  columns: readonly Column[],
  totals: Float64Array,
  from: Int16Array,
  wide: number,
): Int16Array {
  const choice = new Int16Array(columns.length);
  const last = (columns[columns.length - 1]?.midi.length ?? 0) * WAYS;
  let state = 0;
  for (let index = 1; index < last; index++)
    if ((totals[index] ?? 0) < (totals[state] ?? 0)) state = index;
  for (let at = columns.length - 1; at >= 0; at--) {
    choice[at] = state >> 1;
    state = from[at * wide + state] ?? 0;
  }
  return choice;
}
