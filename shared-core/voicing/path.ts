import type { Chord } from '../chord/model.ts';
import {
  type Candidate,
  type Column,
  candidateOf,
  columnsWith,
  FREE,
  KEPT,
  limitsAt,
  NOBODY,
  type PathOptions,
} from './candidates.ts';
import type { Voicing } from './model.ts';

export type { PathOptions } from './candidates.ts';

/** Costs of a move, in semitones of annoyance, each with its reason. */
const COST = {
  /** A voice that moves a semitone. */
  voice: 1,
  /** The ear follows the top note: it should go by step. */
  topLeap: 1.5,
  /** Fret of hand movement past the third (tests/reference/guitar.json, `move`). */
  handShift: 1.5,
} as const;

/**
 * The best way through a run of chords: one voicing each, by dynamic programming over voice movement, the
 * top line, hand movement and register. The same path drives what is printed and what sounds. A null chord
 * (silence) gives null and lets the hand go anywhere.
 *
 * Time grows with the number of chords, not with their square.
 *
 * `topLine` and `below` are wishes: where no playable voicing meets one, the nearest does.
 *
 * @example voicePath([Dm7, G7, Cmaj7], { instrument: 'piano', withBass: true })
 * @example voicePath([C6, Am7], { instrument: 'guitar', withBass: false, topLine: [67, 69] }) // melody on top
 */
export function voicePath(
  chords: readonly (Chord | null)[],
  options: PathOptions,
): (Voicing | null)[] {
  const columnFor = columnsWith(options);
  const columns = chords.map((chord, at) =>
    chord ? columnFor(chord, limitsAt(options, at)) : NOBODY,
  );
  const totals = new Float64Array(columns.length * KEPT);
  const from = new Int16Array(columns.length * KEPT);
  let before = NOBODY;
  columns.forEach((column, at) => {
    const row = at * KEPT;
    const costs = movesBetween(before, column);
    extend(totals, from, row, before.length, column.length, costs);
    column.forEach((candidate, index) => {
      totals[row + index] = (totals[row + index] ?? 0) + candidate.cost;
    });
    before = column;
  });
  return traceBack(columns, totals, from);
}

/**
 * Puts the cheapest way into every candidate of a column at `row`, from the column before it. The tables are
 * flat, a row of {@link KEPT} places a chord: a long arrangement has thousands of chords.
 */
function extend(
  totals: Float64Array,
  from: Int16Array,
  row: number,
  before: number,
  width: number,
  costs: Float64Array,
): void {
  const rowBefore = row - KEPT;
  for (let index = 0; index < width; index++) {
    let best = before === 0 ? 0 : Number.POSITIVE_INFINITY;
    let back = -1;
    const move = index * before;
    for (let other = 0; other < before; other++) {
      const cost = (totals[rowBefore + other] as number) + (costs[move + other] as number);
      if (cost < best) {
        best = cost;
        back = other;
      }
    }
    totals[row + index] = best;
    from[row + index] = back;
  }
}

/** Costs of moves worked out so far. A column that is forgotten takes its moves along. */
const MOVES = new WeakMap<Column, WeakMap<Column, Float64Array>>();

/** Costs of every move between two columns; tunes have few pairs of chords, so each is worked out once. */
function movesBetween(before: Column, column: Column): Float64Array {
  let row = MOVES.get(before);
  if (!row) {
    row = new WeakMap();
    MOVES.set(before, row);
  }
  let costs = row.get(column);
  if (!costs) {
    costs = new Float64Array(column.length * before.length);
    let at = 0;
    for (const to of column) for (const from of before) costs[at++] = moveCost(from, to);
    row.set(column, costs);
  }
  return costs;
}

function traceBack(
  columns: readonly Column[],
  totals: Float64Array,
  from: Int16Array,
): (Voicing | null)[] {
  const path: (Voicing | null)[] = new Array<Voicing | null>(columns.length).fill(null);
  let index = -1;
  for (let at = columns.length - 1; at >= 0; at--) {
    const column = columns[at] ?? [];
    if (column.length === 0) {
      index = -1;
      continue;
    }
    if (index < 0) index = cheapest(totals, at * KEPT, column.length);
    path[at] = column[index]?.voicing ?? null;
    index = from[at * KEPT + index] ?? -1;
  }
  return path;
}

function cheapest(totals: Float64Array, row: number, width: number): number {
  let best = 0;
  for (let index = 1; index < width; index++)
    if ((totals[row + index] ?? 0) < (totals[row + best] ?? 0)) best = index;
  return best;
}

/**
 * The nearest other voicing of the same chord: where a player goes for a change of colour on a chord that is
 * held for long. Null where the chord has no other.
 *
 * @example neighbourOf(Dm7, voicing, { instrument: 'guitar', withBass: true }) // the inversion next to it
 */
export function neighbourOf(chord: Chord, voicing: Voicing, options: PathOptions): Voicing | null {
  const own = candidateOf(voicing, chord, options);
  let best: Candidate | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const other of columnsWith(options)(chord, FREE)) {
    if (other.midi.join() === own.midi.join()) continue;
    const cost = other.cost + moveCost(own, other);
    if (cost < least) {
      best = other;
      least = cost;
    }
  }
  return best?.voicing ?? null;
}

function moveCost(from: Candidate, to: Candidate): number {
  const top = Math.abs(from.top - to.top);
  const shift =
    from.position < 0 || to.position < 0
      ? 0
      : Math.max(0, Math.abs(from.position - to.position) - 3);
  return (
    voiceDistance(from.midi, to.midi) * COST.voice +
    Math.max(0, top - 2) * COST.topLeap +
    shift * COST.handShift
  );
}

/** Semitones the voices move, matched from the top down; a voice that drops out or comes in costs two. */
function voiceDistance(a: readonly number[], b: readonly number[]): number {
  const shared = Math.min(a.length, b.length);
  const lower = a.length - shared;
  const lowerOther = b.length - shared;
  let moved = (lower + lowerOther) * 2;
  for (let voice = 0; voice < shared; voice++)
    moved += Math.abs((a[lower + voice] as number) - (b[lowerOther + voice] as number));
  return moved;
}
