import { err, ok, type Result } from '../result.ts';
import type { Ticks } from '../time/meter.ts';
import { planSpan, type SpanCell, type SpanPlan } from './arc-span.ts';
import type { Proposal } from './model.ts';
import { commonGrid, rounded, WEIGHTS } from './weights.ts';

/** One chorus as the arc sees it. */
export interface ArcChorus {
  /** 0 plain - 5 peak. At 0 the chorus stays as written, save for what is fixed. */
  readonly intensity: number;
  /** What may be placed here, any number for each span; freshness is left to the arc itself. */
  readonly candidates: readonly Proposal[];
  /** What already stands: span id to the accepted proposal, or to `hand` for changes typed by hand. */
  readonly fixed?: Readonly<Record<string, Proposal | 'hand'>>;
  /** Ids of proposals laid aside in this chorus. */
  readonly rejected?: readonly string[];
}

/** A stretch the arc may fill: one choice a chorus. */
export interface ArcSpan {
  readonly id: string;
  readonly start: Ticks;
  readonly length: Ticks;
}

/** What to plan. */
export interface ArcRequest {
  /** Spans that do not overlap, see {@link disjointSpans}. */
  readonly spans: readonly ArcSpan[];
  readonly choruses: readonly ArcChorus[];
  /** Least and most of the static time that stays plain, 0-1, over the choruses with an intensity over 0. */
  readonly plain?: { readonly least: number; readonly most: number };
}

/** One choice: what stands at a span in a chorus, why, and what would have been next. */
export interface ArcChoice {
  readonly chorus: number;
  readonly span: string;
  /** Null: the written changes stay. `hand` and accepted proposals are given back as they were. */
  readonly proposal: Proposal | 'hand' | null;
  readonly fixed: boolean;
  readonly why: string;
  /** Next best at this very place with everything else as chosen; null where there was no other. */
  readonly runnerUp: { readonly proposal: Proposal | null; readonly behind: number } | null;
}

/** A plan for all choruses. */
export interface Arc {
  readonly choices: readonly ArcChoice[];
  /** The value of the objective: what the exact search maximised. */
  readonly value: number;
  /** Share of the free choruses' static time that stays plain, 0-1. */
  readonly plainShare: number;
}

/** Why no arc could be planned. */
export interface ArcError {
  readonly code: 'arc/no-choruses' | 'arc/intensity' | 'arc/overlap';
  readonly data: Readonly<Record<string, string | number>>;
}

/** Named shapes of intensity over the choruses. */
export type ArcPreset = 'rise-and-come-home' | 'all-plain' | 'head-plain-solos-free';

/**
 * Intensities of a preset.
 * `rise-and-come-home`: plain first chorus, rising to 5 two thirds through, home at the end.
 * `head-plain-solos-free`: the outer choruses plain, 3 between.
 * Two choruses are a head and a solo, with no head to come home to: 0 and 3 in both shapes.
 *
 * @example presetIntensities('rise-and-come-home', 6) // [0, 2, 3, 5, 3, 0]
 */
export function presetIntensities(preset: ArcPreset, choruses: number): number[] {
  const last = choruses - 1;
  if (preset === 'all-plain') return new Array<number>(choruses).fill(0);
  return Array.from({ length: choruses }, (_, chorus) => {
    if (chorus === 0) return 0;
    if (chorus === last) return choruses === 2 ? 3 : 0;
    if (preset === 'head-plain-solos-free') return 3;
    const peak = Math.max(1, Math.round((last * 2) / 3));
    const share = chorus <= peak ? chorus / peak : (last - chorus) / Math.max(1, last - peak);
    return Math.max(1, Math.round(5 * share));
  });
}

/**
 * The best set of proposals over all choruses, exactly.
 *
 * Objective, to be made as large as possible: for every chorus and span the worth of the choice there
 * (its score, how near its tension lies to the chorus' intensity, or the worth of calm); less a price
 * wherever two neighbouring choruses state the same device at the same span; more where the last chorus
 * does what the first did; with the plain share of static time kept between two bounds (as near to them
 * as the fixed choices and the candidates allow).
 *
 * Method: within a span the choices of all choruses form a chain, solved by dynamic programming over
 * (device and degree, number of changed choruses), once for each possible first choice because the last
 * chorus looks back at it; over the spans a second dynamic program shares out the changed time. Nothing
 * is greedy: a brute-force test holds it to the true optimum.
 */
export function planArc(request: ArcRequest): Result<Arc, ArcError> {
  const problem = checkRequest(request);
  if (problem) return err(problem);
  const plans = request.spans.map((span) => planSpan(cellsOf(request, span)));
  const counts = shareOut(request, plans);
  const picks = plans.map((plan, index) => plan.choose(counts[index] ?? 0));
  return ok(assemble(request, plans, picks));
}

function checkRequest(request: ArcRequest): ArcError | null {
  if (request.choruses.length === 0) return { code: 'arc/no-choruses', data: {} };
  for (const [chorus, { intensity }] of request.choruses.entries()) {
    if (!(intensity >= 0 && intensity <= 5))
      return { code: 'arc/intensity', data: { chorus, intensity } };
  }
  const inOrder = [...request.spans].sort((a, b) => a.start - b.start);
  for (let index = 1; index < inOrder.length; index++) {
    const before = inOrder[index - 1];
    const span = inOrder[index];
    if (before && span && before.start + before.length > span.start) {
      return { code: 'arc/overlap', data: { span: span.id, before: before.id } };
    }
  }
  return null;
}

function cellsOf(request: ArcRequest, span: ArcSpan): SpanCell[] {
  return request.choruses.map((chorus) => {
    const rejected = new Set(chorus.rejected ?? []);
    const fixed = chorus.fixed?.[span.id] ?? null;
    const free = chorus.intensity === 0 ? [] : chorus.candidates;
    return {
      intensity: chorus.intensity,
      fixed,
      candidates: free.filter(
        (proposal) => proposal.span === span.id && !rejected.has(proposal.id),
      ),
    };
  });
}

/** How many choruses change at each span: the best total worth whose plain share lies within the bounds. */
function shareOut(request: ArcRequest, plans: readonly SpanPlan[]): number[] {
  const grid = commonGrid(request.spans.map((span) => span.length));
  const lengths = request.spans.map((span) => span.length / grid);
  const free = request.choruses.filter((chorus) => chorus.intensity > 0).length;
  const total = lengths.reduce((sum, length) => sum + length, 0) * free;
  const layers = knapsack(plans, lengths);
  const last = layers[layers.length - 1];
  if (!last) return [];
  const bounds = request.plain ?? { least: WEIGHTS.arc.plainLeast, most: WEIGHTS.arc.plainMost };
  const fewest = total * (1 - bounds.most);
  const most = total * (1 - bounds.least);
  return traceBack(layers, lengths, bestWithin(last.worth, fewest, most));
}

interface Layer {
  readonly worth: Float64Array;
  readonly count: Int16Array;
}

/** Layer s holds, for every amount of changed time in the first s + 1 spans, the best worth and the last span's count. */
function knapsack(plans: readonly SpanPlan[], lengths: readonly number[]): Layer[] {
  const layers: Layer[] = [];
  let before = Float64Array.of(0);
  plans.forEach((plan, index) => {
    const length = lengths[index] ?? 0;
    const most = plan.worth.length - 1;
    const worth = new Float64Array(before.length + most * length).fill(Number.NEGATIVE_INFINITY);
    const count = new Int16Array(worth.length).fill(-1);
    for (let used = 0; used < before.length; used++) {
      const base = before[used] ?? Number.NEGATIVE_INFINITY;
      if (base === Number.NEGATIVE_INFINITY) continue;
      for (let changed = 0; changed <= most; changed++) {
        const value = base + (plan.worth[changed] ?? Number.NEGATIVE_INFINITY);
        const at = used + changed * length;
        if (value > (worth[at] ?? 0)) {
          worth[at] = value;
          count[at] = changed;
        }
      }
    }
    layers.push({ worth, count });
    before = worth;
  });
  return layers;
}

/** Amount of changed time to aim at: best within the bounds, else the reachable amount nearest to them. */
function bestWithin(worth: Float64Array, fewest: number, most: number): number {
  let best = -1;
  let bestOff = Number.POSITIVE_INFINITY;
  for (let used = 0; used < worth.length; used++) {
    const value = worth[used] ?? Number.NEGATIVE_INFINITY;
    if (value === Number.NEGATIVE_INFINITY) continue;
    const off = used < fewest ? fewest - used : Math.max(0, used - most);
    const better =
      off < bestOff || (off === bestOff && value > (worth[best] ?? Number.NEGATIVE_INFINITY));
    if (better) {
      best = used;
      bestOff = off;
    }
  }
  return best;
}

function traceBack(layers: readonly Layer[], lengths: readonly number[], target: number): number[] {
  const counts: number[] = [];
  let used = target;
  for (let index = layers.length - 1; index >= 0; index--) {
    const count = layers[index]?.count[used] ?? 0;
    counts.unshift(count);
    used -= count * (lengths[index] ?? 0);
  }
  return counts;
}

function assemble(
  request: ArcRequest,
  plans: readonly SpanPlan[],
  picks: readonly (readonly number[])[],
): Arc {
  const choices: ArcChoice[] = [];
  let value = 0;
  let plain = 0;
  let total = 0;
  request.spans.forEach((span, index) => {
    const plan = plans[index];
    const pick = picks[index] ?? [];
    if (!plan) return;
    value += plan.valueOf(pick);
    request.choruses.forEach((chorus, order) => {
      const choice = plan.describe(pick, order);
      choices.push({ chorus: order, span: span.id, ...choice });
      if (chorus.intensity === 0) return;
      total += span.length;
      if (choice.proposal === null) plain += span.length;
    });
  });
  choices.sort((a, b) => a.chorus - b.chorus);
  return { choices, value: rounded(value), plainShare: total === 0 ? 1 : rounded(plain / total) };
}

/**
 * The heaviest set of spans that do not overlap (weighted interval scheduling by dynamic programming).
 * `worth` says what a span is worth; ties keep the earlier span.
 */
export function disjointSpans<T extends ArcSpan>(
  spans: readonly T[],
  worth: (span: T) => number,
): T[] {
  const inOrder = [...spans].sort(
    (a, b) => a.start + a.length - (b.start + b.length) || a.start - b.start,
  );
  const best: { total: number; taken: readonly T[] }[] = [{ total: 0, taken: [] }];
  for (const [index, span] of inOrder.entries()) {
    let before = index;
    while (before > 0 && endOf(inOrder[before - 1]) > span.start) before--;
    const withSpan = (best[before]?.total ?? 0) + worth(span);
    const without = best[index] ?? { total: 0, taken: [] };
    best.push(
      withSpan > without.total
        ? { total: withSpan, taken: [...(best[before]?.taken ?? []), span] }
        : without,
    );
  }
  return [...(best[best.length - 1]?.taken ?? [])].sort((a, b) => a.start - b.start);
}

function endOf(span: ArcSpan | undefined): Ticks {
  return span ? span.start + span.length : 0;
}
