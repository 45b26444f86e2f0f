import { chorusesInOrder } from '../../shared-core/arrangement/fold.ts';
import type { ArrangementState, ChorusPlan, Command } from '../../shared-core/arrangement/model.ts';
import { placementOf, usualLayer } from '../../shared-core/arrangement/placement.ts';
import { planChoruses } from '../../shared-core/arrangement/plan-choruses.ts';
import { usesOf } from '../../shared-core/arrangement/uses.ts';
import { encode } from '../../shared-core/contract/codec.ts';
import type { Answer } from '../../shared-core/contract/errors.ts';
import { propose } from '../../shared-core/proposals/propose.ts';
import { tasteOf } from '../../shared-core/proposals/taste.ts';
import { applyToArrangement } from './arrangements.ts';
import { type AppContext, type OpenArrangement, openArrangement } from './context.ts';
import { failure, success } from './failures.ts';

/** What planning came to. */
export interface Planned {
  readonly placed: readonly {
    readonly chorus: number;
    readonly proposal: string;
    readonly why: string;
  }[];
  /** Share of the held bars that stay as written, 0-1. */
  readonly plainShare: number;
}

/** Accepts a proposal by its id in a chorus, counted from 1. */
export function acceptProposal(
  context: AppContext,
  arrangementId: string,
  proposalId: string,
  chorus: number,
): Answer<{ readonly placement: string }> {
  const open = openArrangement(context, arrangementId);
  if (!open.ok) return open;
  const plan = chorusesInOrder(open.value.state)[chorus - 1];
  if (!plan) return noChorus(open.value.state, chorus);
  const found = proposalsIn(context, open.value, plan, proposalId);
  const proposal = found.find(({ id }) => id === proposalId);
  if (!proposal) {
    return failure(
      'input/unknown',
      `There is no proposal ${proposalId} for this tune; list them with propose.`,
      {
        data: { proposal: proposalId },
      },
    );
  }
  const id = context.library.makeId();
  const placement = placementOf(proposal, plan.id, usualLayer(proposal), id);
  const done = decide(context, open.value, { kind: 'accept', placement });
  return done.ok ? success({ placement: id }) : done;
}

/** Asked for by id, a proposal is found even where the melody speaks against it: the leader has chosen. */
function proposalsIn(
  context: AppContext,
  open: OpenArrangement,
  plan: ChorusPlan,
  proposalId: string,
) {
  const { known, state } = open;
  const span = proposalId.slice(proposalId.lastIndexOf('~') + 1);
  return propose(known.analysis, {
    tempo: state.head.tempo ?? known.tune.tempo,
    chorus: plan.order,
    melodySounds: false,
    spans: [span],
    uses: usesOf(state),
    taste: tasteOf(context.library.taste.list()),
  });
}

/** Gives every chorus its intensity 0-5 and fills the held stretches by the best plan, as one decision. */
export function planArrangement(
  context: AppContext,
  arrangementId: string,
  intensities: readonly number[],
): Answer<Planned> {
  const open = openArrangement(context, arrangementId);
  if (!open.ok) return open;
  const { state, known } = open.value;
  const plans = chorusesInOrder(state);
  if (intensities.length !== plans.length) {
    return failure(
      'input/value',
      `There are ${plans.length} choruses, but ${intensities.length} intensities; give one for each.`,
      { data: { choruses: plans.length, intensities: intensities.length } },
    );
  }
  const planned = planChoruses({
    analysis: known.analysis,
    tempo: state.head.tempo ?? known.tune.tempo,
    state,
    intensities,
    taste: tasteOf(context.library.taste.list()),
  });
  const levels = plans.map((plan, index): Command => {
    const intensity = intensities[index] ?? 0;
    return { kind: 'set-chorus', chorus: plan.id, label: plan.label, intensity };
  });
  const accepts = planned.slips.map(({ placement }): Command => {
    return { kind: 'accept', placement: { ...placement, id: context.library.makeId() } };
  });
  const done = decide(context, open.value, {
    kind: 'batch',
    label: 'Plan all choruses',
    commands: [...levels, ...accepts],
  });
  if (!done.ok) return done;
  const placed = planned.slips.map(({ chorus, placement, why }) => ({
    chorus: chorus + 1,
    proposal: placement.origin.kind === 'proposal' ? placement.origin.proposal : 'hand',
    why,
  }));
  return success({ placed, plainShare: planned.plainShare });
}

/** Names the choruses as bands do: head, the soloists in turn, head out. One or two choruses stay nameless. */
export function nameChoruses(
  context: AppContext,
  arrangementId: string,
): Answer<Record<string, never>> {
  const open = openArrangement(context, arrangementId);
  if (!open.ok) return open;
  const plans = chorusesInOrder(open.value.state);
  if (plans.length < 3) return success({});
  const soloists = open.value.band.chairs.filter((chair) => chair.role === 'soloist');
  const commands = plans.map((plan, index): Command => {
    const soloist = soloists[(index - 1) % Math.max(1, soloists.length)];
    const solo = soloist ? `${soloist.name} solo` : 'Solo';
    const label = index === 0 ? 'Head' : index === plans.length - 1 ? 'Head out' : solo;
    return { kind: 'set-chorus', chorus: plan.id, label, intensity: plan.intensity };
  });
  const done = decide(context, open.value, { kind: 'batch', label: 'Name the choruses', commands });
  return done.ok ? success({}) : done;
}

function decide(context: AppContext, open: OpenArrangement, command: Command): Answer<unknown> {
  return applyToArrangement(context, open.stored.id, open.stored.revision, encode(command));
}

function noChorus(state: ArrangementState, chorus: number): Answer<never> {
  const count = Object.keys(state.choruses).length;
  return failure('input/value', `There is no chorus ${chorus}; the arrangement has ${count}.`, {
    data: { chorus, choruses: count },
  });
}
