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

/** Cost of a leap by its semitones: a step is free, a skip grows. */
const SKIP = Float64Array.from({ length: WIDEST + 1 }, (_, size) =>
  size > 2 ? (size - 2) * COST.skip : 0,
);

/** State of the search: a note and whether the line came to it from below (1) or not (0). */
const WAYS = 2;

/** Tables of the search, flat because a long arrangement has thousands of slots. */
interface Tables {
  /** Cheapest way into each state of the column before, and of this one. */
  readonly totals: Float64Array;
  readonly next: Float64Array;
  /** State of the column before by which it goes. */
  readonly from: Int16Array;
}

/**
 * Exact search for the cheapest line: the index of the note taken in each column. A state is a note with the
 * direction it was reached in, so that turning round has a price.
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
    const still = arrives[at] ? COST.restated : COST.still;
    if (before) extend(before, column, { totals, next, from: from.subarray(at * wide) }, still);
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

/**
 * Puts the cheapest way into every state of a column. Notes stand low to high: those that a note is reached
 * from going up, the note itself, then those that it is reached from going down.
 */
function extend(before: Column, column: Column, tables: Tables, still: number): void {
  const notes = before.midi;
  tables.next.fill(Number.POSITIVE_INFINITY, 0, column.midi.length * WAYS);
  let lowest = 0;
  for (let index = 0; index < column.midi.length; index++) {
    const note = column.midi[index] as number;
    const own = column.cost[index] as number;
    while (note - (notes[lowest] ?? note) > WIDEST) lowest++;
    let other = lowest;
    for (; (notes[other] ?? note) < note; other++)
      reach(
        tables,
        index * WAYS + 1,
        other,
        own + (SKIP[note - (notes[other] as number)] as number),
      );
    if (notes[other] === note) {
      const state = other * WAYS;
      relax(tables, index * WAYS, own + still + (tables.totals[state] as number), state);
      relax(
        tables,
        index * WAYS + 1,
        own + still + (tables.totals[state + 1] as number),
        state + 1,
      );
      other++;
    }
    for (; (notes[other] ?? Number.POSITIVE_INFINITY) - note <= WIDEST; other++)
      reach(tables, index * WAYS, other, own + (SKIP[(notes[other] as number) - note] as number));
  }
}

/** Comes to a state from a note of the column before: going on as it was reached, or turning round there. */
function reach(tables: Tables, state: number, other: number, cost: number): void {
  const way = state % WAYS;
  const on = other * WAYS + way;
  const back = other * WAYS + 1 - way;
  relax(tables, state, cost + (tables.totals[on] as number), on);
  relax(tables, state, cost + (tables.totals[back] as number) + COST.turn, back);
}

/** Keeps the cheaper way into a state. */
function relax({ next, from }: Tables, state: number, cost: number, by: number): void {
  if (cost < (next[state] as number)) {
    next[state] = cost;
    from[state] = by;
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
