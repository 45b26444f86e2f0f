import type { Placement } from '../../shared-core/arrangement/model.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import { type Ground, proposalsAt } from '../engine/proposals.ts';
import type { Filter, OpenArrangement } from './ladder-store.ts';
import { barAt, type Segment } from './ruler.ts';

/** Ground for proposals in an arrangement as it stands. */
export function groundOf(arrangement: OpenArrangement, taste: Ground['taste']): Ground {
  const { open, held } = arrangement;
  return {
    analysis: open.analysis,
    tempo: held.state.head.tempo ?? open.tune.tempo,
    state: held.state,
    taste,
  };
}

/** Proposals for one cell as the bench lists them: filtered, and without what was laid aside here. */
export function listedProposals(
  ground: Ground,
  chorus: { readonly id: string; readonly order: number },
  segment: Segment,
  filter: Filter,
): readonly Proposal[] {
  if (!segment.span) return [];
  const laidAside = (proposal: Proposal) =>
    ground.state.rejections[`${chorus.id}:${proposal.id}`] !== undefined;
  return proposalsAt(ground, chorus.order, segment.span.id).filter(
    (proposal) => passes(proposal, filter) && (filter.laidAside || !laidAside(proposal)),
  );
}

function passes(proposal: Proposal, filter: Filter): boolean {
  return (
    (filter.device === null || proposal.device === filter.device) &&
    (filter.carrier === null || carries(proposal, filter.carrier))
  );
}

function carries(proposal: Proposal, carrier: NonNullable<Filter['carrier']>): boolean {
  return proposal.carrier === carrier || (carrier !== 'either' && proposal.carrier === 'either');
}

/** Whether a placement claims time of a segment. */
export function standsIn(placement: Placement, segment: Segment): boolean {
  return (
    placement.start < segment.start + segment.length &&
    segment.start < placement.start + placement.length
  );
}

/** Placements of one chorus that claim time of a cell, band first. */
export function placementsIn(
  arrangement: OpenArrangement,
  chorus: string,
  segment: Segment,
): readonly Placement[] {
  return Object.values(arrangement.held.state.placements)
    .filter((placement) => placement.chorus === chorus && standsIn(placement, segment))
    .sort((a, b) => (a.layer === b.layer ? a.start - b.start : a.layer === 'band' ? -1 : 1));
}

/** The whole bars a cell touches, from the first bar line to the last. */
export function barsOfSegment(arrangement: OpenArrangement, segment: Segment) {
  const { chorus } = arrangement.open.analysis;
  const first = barAt(chorus, segment.start) ?? segment.firstBar;
  const last = barAt(chorus, segment.start + segment.length - 1) ?? segment.lastBar;
  return chorus.bars.slice(first.index, last.index + 1);
}

/** The slip last shown at each cell of each chorus. */
const shown = new Map<string, Proposal>();

function cellKey(arrangement: OpenArrangement, chorus: string, segment: Segment): string {
  return `${arrangement.id} ${chorus} ${segment.id}`;
}

/**
 * The slip that lies at a cell: the one chosen, else the one that lay there before while it can still be
 * had, else the best. So deciding about one span does not reshuffle its neighbours.
 */
export function slipAt(
  arrangement: OpenArrangement,
  chorus: string,
  segment: Segment,
  list: readonly Proposal[],
  chosen: string | null,
): Proposal | null {
  const key = cellKey(arrangement, chorus, segment);
  const wanted = chosen ?? shown.get(key)?.id;
  const slip = list.find((proposal) => proposal.id === wanted) ?? list[0] ?? null;
  if (slip) shown.set(key, slip);
  else shown.delete(key);
  return slip;
}

/**
 * The slip known to lie at a cell, without judging anything anew: null when it was laid aside since, does
 * not pass the filter, or was never asked for.
 */
export function knownSlip(
  arrangement: OpenArrangement,
  chorus: string,
  segment: Segment,
  filter: Filter,
): Proposal | null {
  const slip = shown.get(cellKey(arrangement, chorus, segment));
  if (!slip) return null;
  const laidAside = arrangement.held.state.rejections[`${chorus}:${slip.id}`] !== undefined;
  return passes(slip, filter) && (filter.laidAside || !laidAside) ? slip : null;
}
