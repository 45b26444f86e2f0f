import type { Analysis, DeviceName } from '../analysis/model.ts';
import {
  type ArcChoice,
  type ArcChorus,
  type ArcSpan,
  disjointSpans,
  planArc,
} from '../proposals/arc.ts';
import type { Proposal } from '../proposals/model.ts';
import { propose } from '../proposals/propose.ts';
import type { Taste } from '../proposals/taste.ts';
import type { Ticks } from '../time/meter.ts';
import { crossings, type Placed } from './crossings.ts';
import { chorusesInOrder } from './fold.ts';
import type { ArrangementState, Placement } from './model.ts';
import { overused } from './overused.ts';
import { placementOf, usualLayer } from './placement.ts';

/** What to plan: an arrangement with an intensity 0-5 for each of its choruses, in playing order. */
export interface PlanRequest {
  readonly analysis: Analysis;
  /** Counted beats a minute; null where neither arrangement nor tune names one. */
  readonly tempo: number | null;
  readonly state: ArrangementState;
  readonly intensities: readonly number[];
  readonly taste: Taste | null;
}

/** One place the plan fills. */
export interface PlannedSlip {
  readonly chorus: number;
  /** Id left to the caller: `plan-` and a number. */
  readonly placement: Placement;
  readonly why: string;
  /** The device of the next best choice; null where there was none. */
  readonly nextBest: string | null;
}

/** A plan over all choruses; decided places are left as they are. */
export interface Plan {
  readonly slips: readonly PlannedSlip[];
  /** Share of the held bars that stay as written, 0-1. */
  readonly plainShare: number;
}

/**
 * Chooses proposals for all choruses at once: what was decided stays, what was laid aside stays aside.
 * Throws when the intensities do not match the choruses: a mistake of the caller.
 */
export function planChoruses({ analysis, tempo, state, intensities, taste }: PlanRequest): Plan {
  const plans = chorusesInOrder(state);
  const { length } = analysis.chorus;
  const held = analysis.spans
    .filter((span) => span.stretch)
    .map((span) => insideForm(span, length));
  const spans = disjointSpans(held, (span) => span.length);
  const ids = spans.map((span) => span.id);
  const choruses = plans.map((plan, index): PlannedChorus => {
    const all = propose(analysis, {
      tempo,
      chorus: index,
      lastChorus: index === plans.length - 1,
      spans: ids,
      ...(taste ? { taste } : {}),
    });
    const candidates = all.flatMap((proposal) => homeByTheEnd(proposal, length));
    return {
      id: plan.id,
      intensity: intensities[index] ?? 0,
      candidates,
      fixed: fixedIn(state, plan.id, spans, candidates),
      rejected: Object.values(state.rejections)
        .filter((rejection) => rejection.chorus === plan.id)
        .map((rejection) => rejection.proposal),
    };
  });
  return untilItReads(spans, choruses, state, analysis);
}

/** A chorus as the arc sees it, and which one it is. */
interface PlannedChorus extends ArcChorus {
  readonly id: string;
  readonly rejected: readonly string[];
}

/**
 * The best plan that reads well as a whole: no proposal takes away the chord that the one before it leads
 * into, and no chorus says one thing over and over. What offends is left out and the arc planned again,
 * which ends because every round leaves out at least one proposal.
 */
function untilItReads(
  spans: readonly ArcSpan[],
  choruses: readonly PlannedChorus[],
  state: ArrangementState,
  analysis: Analysis,
): Plan {
  const arc = planArc({ spans, choruses });
  if (!arc.ok) throw new Error(`The choruses could not be planned: ${arc.error.code}`);
  const { choices, plainShare } = arc.value;
  const slips = choices.flatMap((choice, index) => slipOf(choice, index, choruses));
  const often = overused(choices);
  const offending = choruses.map(({ id, candidates }, chorus) => [
    ...crossings(standingIn(id, chorus, slips, state), analysis.chorus.harmony).flatMap(proposedAs),
    ...often
      .filter((use) => use.chorus === chorus)
      .flatMap(({ span, device }) => idsOf(candidates, span, device)),
  ]);
  if (offending.every((ids) => ids.length === 0)) {
    return { slips: slips.map(({ slip }) => slip), plainShare };
  }
  const without = choruses.map(
    (chorus, index): PlannedChorus => ({
      ...chorus,
      rejected: [...chorus.rejected, ...(offending[index] ?? [])],
    }),
  );
  return untilItReads(spans, without, state, analysis);
}

function proposedAs({ placement: { origin } }: Placed): string[] {
  return origin.kind === 'proposal' ? [origin.proposal] : [];
}

function idsOf(candidates: readonly Proposal[], span: string, device: DeviceName): string[] {
  return candidates
    .filter((proposal) => proposal.span === span && proposal.device === device)
    .map(({ id }) => id);
}

/** A place the plan fills, and what its proposal is worth. */
interface ScoredSlip {
  readonly slip: PlannedSlip;
  readonly score: number;
}

function slipOf(
  choice: ArcChoice,
  index: number,
  choruses: readonly PlannedChorus[],
): ScoredSlip[] {
  const { proposal } = choice;
  const chorus = choruses[choice.chorus];
  if (choice.fixed || !proposal || proposal === 'hand' || !chorus) return [];
  const placement = placementOf(proposal, chorus.id, usualLayer(proposal), `plan-${index}`);
  const nextBest = choice.runnerUp?.proposal?.device ?? null;
  return [
    {
      slip: { chorus: choice.chorus, placement, why: choice.why, nextBest },
      score: proposal.score,
    },
  ];
}

/** What the leader decided in a chorus, and what the plan adds. */
function standingIn(
  id: string,
  chorus: number,
  slips: readonly ScoredSlip[],
  state: ArrangementState,
): Placed[] {
  const decided = Object.values(state.placements).filter((placement) => placement.chorus === id);
  return [
    ...decided.map((placement) => ({ placement, score: null })),
    ...slips.flatMap(({ slip, score }) =>
      slip.chorus === chorus ? [{ placement: slip.placement, score }] : [],
    ),
  ];
}

/**
 * A plan fills each chorus by itself: a stretch that runs around the form's end is planned up to it, so
 * that a chorus asked to stay plain is not begun with what the one before it left over.
 */
function insideForm<T extends { readonly start: Ticks; readonly length: Ticks }>(
  span: T,
  form: Ticks,
): T {
  return span.start + span.length <= form ? span : { ...span, length: form - span.start };
}

/** A proposal cut at the form's end; none where it is not at home again by then. */
function homeByTheEnd(proposal: Proposal, form: Ticks): Proposal[] {
  const length = form - proposal.start;
  if (proposal.length <= length) return [proposal];
  const home = proposal.changes[0]?.harmony;
  if (home?.kind !== 'chord') return [];
  const after = proposal.changes.filter((change) => change.at + change.length > length);
  const rests = after.every(
    ({ harmony }) => harmony.kind === 'chord' && harmony.root === home.root,
  );
  if (!rests) return [];
  const changes = proposal.changes
    .filter((change) => change.at < length)
    .map((change) => ({ ...change, length: Math.min(change.length, length - change.at) }));
  return changes.length > 1 ? [{ ...proposal, length, changes }] : [];
}

/** What stands already at the spans of a chorus. */
function fixedIn(
  state: ArrangementState,
  chorus: string,
  spans: readonly { readonly id: string; readonly start: number; readonly length: number }[],
  candidates: readonly Proposal[],
): Readonly<Record<string, Proposal | 'hand'>> {
  const fixed: Record<string, Proposal | 'hand'> = {};
  for (const placement of Object.values(state.placements)) {
    if (placement.chorus !== chorus) continue;
    const { origin } = placement;
    for (const span of spans) {
      const apart =
        placement.start >= span.start + span.length ||
        placement.start + placement.length <= span.start;
      if (apart) continue;
      const accepted =
        origin.kind === 'proposal'
          ? candidates.find((candidate) => candidate.id === origin.proposal)
          : undefined;
      fixed[span.id] = accepted ?? 'hand';
    }
  }
  return fixed;
}
