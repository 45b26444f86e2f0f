import type { Analysis } from '../analysis/model.ts';
import { type ArcChorus, disjointSpans, planArc } from '../proposals/arc.ts';
import type { Proposal } from '../proposals/model.ts';
import { propose } from '../proposals/propose.ts';
import type { Taste } from '../proposals/taste.ts';
import { chorusesInOrder } from './fold.ts';
import type { ArrangementState, Placement } from './model.ts';
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
  const held = analysis.spans.filter((span) => span.stretch);
  const spans = disjointSpans(held, (span) => span.length);
  const ids = spans.map((span) => span.id);
  const choruses = plans.map((plan, index): ArcChorus => {
    const candidates = propose(analysis, {
      tempo,
      chorus: index,
      lastChorus: index === plans.length - 1,
      spans: ids,
      ...(taste ? { taste } : {}),
    });
    return {
      intensity: intensities[index] ?? 0,
      candidates,
      fixed: fixedIn(state, plan.id, spans, candidates),
      rejected: Object.values(state.rejections)
        .filter((rejection) => rejection.chorus === plan.id)
        .map((rejection) => rejection.proposal),
    };
  });
  const planned = planArc({ spans, choruses });
  if (!planned.ok) throw new Error(`The choruses could not be planned: ${planned.error.code}`);
  const slips = planned.value.choices.flatMap((choice, index): PlannedSlip[] => {
    const plan = plans[choice.chorus];
    if (choice.fixed || !choice.proposal || choice.proposal === 'hand' || !plan) return [];
    const layer = usualLayer(choice.proposal);
    return [
      {
        chorus: choice.chorus,
        placement: placementOf(choice.proposal, plan.id, layer, `plan-${index}`),
        why: choice.why,
        nextBest: choice.runnerUp?.proposal?.device ?? null,
      },
    ];
  });
  return { slips, plainShare: planned.value.plainShare };
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
