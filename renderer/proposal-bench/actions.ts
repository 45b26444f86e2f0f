import type { Command, Layer, Placement } from '../../shared-core/arrangement/model.ts';
import { placementOf, rejectionOf, usualLayer } from '../../shared-core/arrangement/placement.ts';
import type { ContractClient } from '../../shared-core/contract/index.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import {
  chorusOfRow,
  type OpenArrangement,
  segmentOfColumn,
  useLadder,
} from '../chorus-ladder/ladder-store.ts';
import type { Segment } from '../chorus-ladder/ruler.ts';
import { groundOf, listedProposals, placementsIn, slipAt } from '../chorus-ladder/standing.ts';
import { newId } from '../common/ids.ts';
import { say } from '../common/said.tsx';
import { useTaste } from '../taste/taste-store.ts';
import { groupByDevice, inSight, waysOpen } from './device-groups.ts';

/** The place the person stands at, and what can be decided there. */
export interface Place {
  readonly arrangement: OpenArrangement;
  readonly chorus: { readonly id: string; readonly order: number; readonly label: string | null };
  readonly segment: Segment;
  readonly proposals: readonly Proposal[];
  readonly chosen: Proposal | null;
  readonly placements: readonly Placement[];
}

/** Reads the place from the stores; null on the written row and on a row's head. */
export function currentPlace(): Place | null {
  const { arrangement, focus, chosen, filter } = useLadder.getState();
  if (!arrangement) return null;
  const chorus = chorusOfRow(arrangement, focus.row);
  const segment = segmentOfColumn(arrangement, focus.column);
  if (!chorus || !segment) return null;
  const ground = groundOf(arrangement, useTaste.getState().taste);
  const proposals = listedProposals(ground, chorus, segment, filter);
  return {
    arrangement,
    chorus,
    segment,
    proposals,
    chosen: slipAt(arrangement, chorus.id, segment, proposals, chosen),
    placements: placementsIn(arrangement, chorus.id, segment),
  };
}

/** Keeps a proposal in the chorus; without a layer, where its verdict puts it. */
export function keepCommand(place: Place, proposal: Proposal, layer?: Layer): Command {
  const wanted = layer ?? usualLayer(proposal);
  return {
    kind: 'accept',
    placement: placementOf(proposal, place.chorus.id, wanted, newId('p')),
  };
}

/** The layer a proposal does not usually go to. */
export function otherLayer(proposal: Proposal): Layer {
  return usualLayer(proposal) === 'band' ? 'soloist' : 'band';
}

/** Keeps the chosen proposal. */
export async function keep(client: ContractClient, layer?: 'other' | Layer): Promise<void> {
  const place = currentPlace();
  if (!place?.chosen) return sayNothingHere();
  const wanted = layer === 'other' ? otherLayer(place.chosen) : layer;
  await useLadder.getState().decide(client, keepCommand(place, place.chosen, wanted));
}

/** Lays the chosen proposal aside; where something was already decided, takes that out instead. */
export async function layAside(client: ContractClient): Promise<void> {
  const place = currentPlace();
  if (!place) return sayNothingHere();
  const { decide } = useLadder.getState();
  if (place.placements.length > 0) {
    await takeOut(client, place.placements);
    return;
  }
  const { chosen } = place;
  if (!chosen) return sayNothingHere();
  const { choose } = useLadder.getState();
  const next = neighbour(place, chosen, 1);
  if (next && next !== chosen) choose(next.id);
  const done = await decide(client, {
    kind: 'reject',
    rejection: rejectionOf(chosen, place.chorus.id),
  });
  if (!done && useLadder.getState().chosen === next?.id) choose(chosen.id);
}

/** Takes decided changes out, so that the written ones stand again. One decision, one undo. */
export async function takeOut(
  client: ContractClient,
  placements: readonly Placement[],
): Promise<void> {
  const commands = placements.map(
    (placement): Command => ({ kind: 'remove', placement: placement.id }),
  );
  const [only] = commands;
  if (!only) return;
  const command: Command =
    commands.length === 1
      ? only
      : { kind: 'batch', label: 'Back to the written changes', commands };
  await useLadder.getState().decide(client, command);
}

/** Chooses the next or previous proposal in sight on the bench. */
export function chooseNeighbour(by: 1 | -1): void {
  const place = currentPlace();
  if (!place?.chosen) {
    sayNothingHere();
    return;
  }
  const next = neighbour(place, place.chosen, by);
  if (next) useLadder.getState().choose(next.id);
}

/** Opens or closes the other ways of the chosen device; who stands on one of them goes back to its best. */
export function turnWays(open?: boolean): void {
  const place = currentPlace();
  const span = place?.segment.span;
  if (!place?.chosen || !span) {
    sayNothingHere();
    return;
  }
  const { chosen } = place;
  const group = groupByDevice(place.proposals, span).find((one) => one.device === chosen.device);
  const { opened, openWays, choose } = useLadder.getState();
  if (!group || group.ways.length === 0) return;
  const wanted = open ?? !waysOpen(group, opened, chosen);
  openWays(group.device, wanted);
  if (!wanted && chosen !== group.best) choose(group.best.id);
}

/** The proposal that is seen above or below another. */
function neighbour(place: Place, from: Proposal, by: 1 | -1): Proposal | null {
  const { span } = place.segment;
  if (!span) return null;
  const groups = groupByDevice(place.proposals, span);
  const list = inSight(groups, useLadder.getState().opened, from);
  return list[(list.indexOf(from) + by + list.length) % list.length] ?? null;
}

function sayNothingHere(): void {
  say('Nothing is proposed here. Stand on a held bar of a chorus.');
}
