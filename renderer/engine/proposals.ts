import type { Analysis } from '../../shared-core/analysis/model.ts';
import type { ArrangementState } from '../../shared-core/arrangement/model.ts';
import { usesOf } from '../../shared-core/arrangement/uses.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import { propose } from '../../shared-core/proposals/propose.ts';
import type { Taste } from '../../shared-core/proposals/taste.ts';

/** What proposals are made from, apart from the place. */
export interface Ground {
  readonly analysis: Analysis;
  readonly tempo: number | null;
  readonly state: ArrangementState;
  readonly taste: Taste | null;
}

/**
 * Proposals already made, kept as long as the table of placements they were judged against stands:
 * freshness is the only figure a decision changes.
 */
const made = new WeakMap<ArrangementState['placements'], Map<string, readonly Proposal[]>>();

/** Every proposal for one span in one chorus, best first. `chorus` counts from 0. */
export function proposalsAt(ground: Ground, chorus: number, span: string): readonly Proposal[] {
  const { analysis, state, tempo, taste } = ground;
  let known = made.get(state.placements);
  if (!known) {
    known = new Map();
    made.set(state.placements, known);
  }
  const key = `${chorus} ${span} ${tempo ?? ''} ${taste ? tasteKey(taste) : ''}`;
  const before = known.get(key);
  if (before) return before;
  const proposals = propose(analysis, {
    tempo,
    chorus,
    uses: usesOf(state),
    spans: [span],
    ...(taste ? { taste } : {}),
  });
  known.set(key, proposals);
  return proposals;
}

const tasteKeys = new WeakMap<object, number>();
let tastes = 0;

function tasteKey(taste: Taste): number {
  const known = tasteKeys.get(taste);
  if (known !== undefined) return known;
  tastes += 1;
  tasteKeys.set(taste, tastes);
  return tastes;
}
