import { useEffect, useMemo, useState } from 'react';
import type { ChorusPlan } from '../../shared-core/arrangement/model.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import type { Ground } from '../engine/proposals.ts';
import { useTaste } from '../taste/taste-store.ts';
import { type Filter, type OpenArrangement, useLadder } from './ladder-store.ts';
import { groundOf, knownSlip, listedProposals, placementsIn, slipAt } from './standing.ts';

/** Milliseconds of judging between two chances for the window to draw. */
const SLICE = 6;

/**
 * The slips that lie in the chorus the person stands in, by cell. The cell stood at is judged at once;
 * the others follow in short slices, nearest first, and stay as they are while they can still be had.
 */
export function useStandingProposals(
  arrangement: OpenArrangement,
  row: number,
  column: number,
): ReadonlyMap<string, Proposal> | null {
  const filter = useLadder((store) => store.filter);
  const chosen = useLadder((store) => store.chosen);
  const taste = useTaste((store) => store.taste);
  const plan = arrangement.choruses[row - 1];
  const [judged, setJudged] = useState(0);
  useJudgeInSlices(arrangement, plan, column, filter, taste, setJudged);
  // biome-ignore lint/correctness/useExhaustiveDependencies: judged says that more slips are known
  return useMemo(() => {
    if (!plan) return null;
    const slips = new Map<string, Proposal>();
    arrangement.segments.forEach((segment, index) => {
      let slip = knownSlip(arrangement, plan.id, segment, filter);
      const decided = placementsIn(arrangement, plan.id, segment).length > 0;
      if (index + 1 === column && !decided) {
        const list = listedProposals(groundOf(arrangement, taste), plan, segment, filter);
        slip = slipAt(arrangement, plan.id, segment, list, chosen);
      }
      if (slip) slips.set(segment.id, slip);
    });
    return slips;
  }, [arrangement, plan, column, filter, chosen, taste, judged]);
}

function useJudgeInSlices(
  arrangement: OpenArrangement,
  plan: ChorusPlan | undefined,
  column: number,
  filter: Filter,
  taste: Ground['taste'],
  onJudged: (change: (count: number) => number) => void,
): void {
  useEffect(() => {
    if (!plan) return;
    const open = arrangement.segments
      .map((segment, index) => ({ segment, away: Math.abs(index + 1 - column) }))
      .filter(({ segment }) => segment.span && !knownSlip(arrangement, plan.id, segment, filter))
      .sort((a, b) => a.away - b.away);
    if (open.length === 0) return;
    const ground = groundOf(arrangement, taste);
    let at = 0;
    let timer = 0;
    const slice = () => {
      const until = performance.now() + SLICE;
      let found = false;
      while (at < open.length && performance.now() < until) {
        const segment = open[at]?.segment;
        at += 1;
        if (!segment) continue;
        const list = listedProposals(ground, plan, segment, filter);
        found = slipAt(arrangement, plan.id, segment, list, null) !== null || found;
      }
      if (found) onJudged((count) => count + 1);
      if (at < open.length) timer = window.setTimeout(slice, 16);
    };
    timer = window.setTimeout(slice, 60);
    return () => clearTimeout(timer);
  }, [arrangement, plan, column, filter, taste, onJudged]);
}
