import type { Candidate } from './candidates.ts';

/** Costs of moving from note to note, each with its reason; lower is better. */
const COST = {
  /** Standing still, leaping, turning round. */
  still: 5,
  skip: 0.35,
  leap: 0.55,
  turn: 0.25,
  /** A step away and straight back: once is an ornament, twice is a player who has nothing to say. */
  trill: 1.8,
  /** The same by skips: broken chords zigzag now and then. */
  zigzag: 0.9,
  /** The scale tone above, the semitone below, then the note they enclose: refunds the skip and the hanging note. */
  enclosed: -1.3,
  /** A phrase ends on a chord tone reached by step. */
  endLeap: 0.5,
  /** Coming home any other way than by step, a semitone more. */
  homeLeap: 1.5,
  /** A semitone between the end of a phrase and the beginning of the next. */
  afterBreath: 0.08,
} as const;

/** Widest leap. */
const WIDEST = 12;
/** Ways a note can be reached: down by a skip, a tone, a semitone; up by a semitone, a tone, a skip. */
const WAYS = 6;

/** What the search must know of each place of the line. */
export interface Place {
  /** The last note before a breath. */
  readonly ends: boolean;
  /** The line comes home here. */
  readonly home: boolean;
}

/**
 * Exact search for the cheapest line: the index of the candidate taken in each column. A state is a note
 * with the way it was reached, so that turning round and going straight back have their prices. The work
 * grows with the number of columns.
 *
 * @param penalties by {@link penaltyKey}: what is held against a note at a place beside its own cost
 */
export function cheapestLine(
  columns: readonly (readonly Candidate[])[],
  places: readonly Place[],
  penalties: ReadonlyMap<string, number>,
): number[] {
  const own = (at: number, note: Candidate): number =>
    note.cost + (penalties.size > 0 ? (penalties.get(penaltyKey(at, note.midi)) ?? 0) : 0);
  let totals = Float64Array.from(
    (columns[0] ?? []).flatMap((note) => new Array<number>(WAYS).fill(own(0, note))),
  );
  const back: Int16Array[] = [];
  for (let at = 1; at < columns.length; at++) {
    const before = columns[at - 1] ?? [];
    const column = columns[at] ?? [];
    const next = new Float64Array(column.length * WAYS).fill(Number.POSITIVE_INFINITY);
    const from = new Int16Array(next.length).fill(-1);
    const breathed = places[at - 1]?.ends ?? false;
    const place = places[at] ?? { ends: false, home: false };
    column.forEach((to, index) => {
      const cost = own(at, to);
      before.forEach((note, other) => {
        const moved = cost + moveCost(note, to, breathed, place);
        if (moved < Number.POSITIVE_INFINITY)
          extend(totals, next, from, other, index, to.midi - note.midi, moved, breathed);
      });
    });
    back.push(from);
    totals = next;
  }
  return traceBack(totals, back, columns.length);
}

/** Key of a penalty: a note at a place of the line. */
export function penaltyKey(at: number, midi: number): string {
  return `${at}:${midi}`;
}

/** Keeps the cheapest way into a note from another one, over all the ways that one was reached. */
function extend(
  totals: Float64Array,
  next: Float64Array,
  from: Int16Array,
  other: number,
  index: number,
  step: number,
  moved: number,
  breathed: boolean,
): void {
  const way = wayOf(step);
  const state = index * WAYS + way;
  for (let before = 0; before < WAYS; before++) {
    const total =
      (totals[other * WAYS + before] as number) + moved + turnCost(before, way, breathed);
    if (total < (next[state] as number)) {
      next[state] = total;
      from[state] = other * WAYS + before;
    }
  }
}

function wayOf(step: number): number {
  if (step <= -3) return 0;
  if (step < 0) return step === -2 ? 1 : 2;
  return step >= 3 ? 5 : step === 2 ? 4 : 3;
}

/** Ways mirror each other: what goes there and straight back adds up to the last way. */
function turnCost(before: number, way: number, breathed: boolean): number {
  if (breathed || before < WAYS / 2 === way < WAYS / 2) return 0;
  if (before + way !== WAYS - 1) return COST.turn;
  return COST.turn + (way === 0 || way === WAYS - 1 ? COST.zigzag : COST.trill);
}

/** What a move costs, however its first note was reached; infinite where it must not be. */
function moveCost(from: Candidate, to: Candidate, breathed: boolean, place: Place): number {
  const step = to.midi - from.midi;
  const size = Math.abs(step);
  if (size > WIDEST || !leads(from, to, step)) return Number.POSITIVE_INFINITY;
  const homeward = place.home && size > 2 ? (size - 2) * COST.homeLeap : 0;
  if (breathed) return size * COST.afterBreath + homeward;
  if (size === 0) return place.home ? 0 : COST.still;
  let cost = size <= 2 ? 0 : size <= 5 ? (size - 2) * COST.skip : 1 + (size - 5) * COST.leap;
  if (from.kind === 'chord' && to.kind === 'chord' && size <= 5) cost *= 0.5;
  if (encloses(from, to, step)) cost += COST.enclosed;
  if (place.ends && size > 2) cost += size * COST.endLeap;
  return cost + homeward;
}

/** A chromatic note goes on by its semitone, into a tone of the chord. */
function leads(from: Candidate, to: Candidate, step: number): boolean {
  if (from.kind === 'below') return step === 1 && to.kind === 'chord';
  return from.kind !== 'above' || (step === -1 && to.kind === 'chord');
}

/** From the scale tone above a note to the semitone below it. */
function encloses(from: Candidate, to: Candidate, step: number): boolean {
  return from.kind === 'scale' && to.kind === 'below' && (step === -2 || step === -3);
}

function traceBack(totals: Float64Array, back: readonly Int16Array[], length: number): number[] {
  let state = 0;
  totals.forEach((total, index) => {
    if (total < (totals[state] ?? 0)) state = index;
  });
  const picks = new Array<number>(length).fill(0);
  for (let at = length - 1; at >= 0; at--) {
    picks[at] = Math.floor(Math.max(0, state) / WAYS);
    state = back[at - 1]?.[state] ?? 0;
  }
  return picks;
}
