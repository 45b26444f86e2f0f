import type { Harmony } from '../chord/model.ts';
import { lastStartingBy } from '../time/halving.ts';
import type { Ticks } from '../time/meter.ts';
import type { Chorus, TimedHarmony } from '../tune/model.ts';
import { chorusesInOrder } from './fold.ts';
import { joinNames } from './joins.ts';
import type { ArrangementState, Layer, Placement, Realisation } from './model.ts';

type Laid = Realisation['placements'][number];

/**
 * Lays an arrangement out end to end: every chorus after the other, with what the band plays and what
 * the soloist plays over it. Placements that run past the end of their chorus go on into the next one's
 * top; past the end of the last chorus they are cut.
 *
 * Pure and exact: all times are whole ticks from the first chorus' start, and both layers cover
 * [0, choruses x chorus length) without gap or overlap.
 */
export function realise(chorus: Chorus, state: ArrangementState): Realisation {
  const choruses = chorusesInOrder(state);
  const end = choruses.length * chorus.length;
  const written = repeatHarmony(chorus, choruses.length);
  const placements = layOut(
    state,
    new Map(choruses.map((plan) => [plan.id, plan.order])),
    chorus.length,
    end,
  );
  const isProposed = proposedIn(placements, chorus);
  const band = joinNames(overlay(written, ofLayer(placements, 'band')), isProposed);
  const solo = joinNames(overlay(band, ofLayer(placements, 'soloist')), isProposed);
  return { chorusLength: chorus.length, choruses, band, solo, placements };
}

/** Whether a chord came with a proposal and is not the one the page has there. */
function proposedIn(
  placements: readonly Laid[],
  { harmony, length }: Chorus,
): (event: TimedHarmony) => boolean {
  const proposed = placements.filter(({ placement }) => placement.origin.kind === 'proposal');
  return (event) => {
    const inside = ({ start, length: long }: Laid): boolean =>
      event.start >= start && event.start < start + long;
    if (event.harmony.kind !== 'chord' || !proposed.some(inside)) return false;
    const page = harmonyAt(harmony, event.start % length);
    return page?.kind !== 'chord' || page.root !== event.harmony.root;
  };
}

/** The written changes of `times` choruses laid end to end. */
export function repeatHarmony(chorus: Chorus, times: number): TimedHarmony[] {
  const laid: TimedHarmony[] = [];
  for (let time = 0; time < times; time++) {
    for (const event of chorus.harmony)
      laid.push({ ...event, start: event.start + time * chorus.length });
  }
  return laid;
}

function layOut(
  state: ArrangementState,
  order: ReadonlyMap<string, number>,
  length: Ticks,
  end: Ticks,
): Laid[] {
  return Object.values(state.placements)
    .map((placement) => {
      const start = (order.get(placement.chorus) ?? 0) * length + placement.start;
      return { start, length: Math.min(placement.length, end - start), placement };
    })
    .filter((laid) => laid.length > 0)
    .sort((a, b) => a.start - b.start || (a.placement.id < b.placement.id ? -1 : 1));
}

function ofLayer(placements: readonly Laid[], layer: Layer): Laid[] {
  return placements.filter((laid) => laid.placement.layer === layer);
}

/**
 * Puts rewrites over a run of harmonies. Where two rewrites meet (one ran over the form's end into
 * another at the top), the one that starts later wins from its start on.
 */
export function overlay(base: readonly TimedHarmony[], rewrites: readonly Laid[]): TimedHarmony[] {
  let line = [...base];
  for (const { start, length, placement } of rewrites)
    line = replaceStretch(line, start, length, placement);
  return line;
}

function replaceStretch(
  line: readonly TimedHarmony[],
  start: Ticks,
  length: Ticks,
  placement: Placement,
): TimedHarmony[] {
  const end = start + length;
  const before = line
    .filter((event) => event.start < start)
    .map((event) => cut(event, event.start, start));
  const after = line
    .filter((event) => event.start + event.length > end)
    .map((event) => cut(event, end, Infinity));
  const inside = placement.changes
    .filter((change) => change.at < length)
    .map((change) => ({
      start: start + change.at,
      length: Math.min(change.length, length - change.at),
      harmony: change.harmony,
    }));
  return [...before, ...inside, ...after];
}

/** The part of an event inside [from, to). */
function cut(event: TimedHarmony, from: Ticks, to: Ticks): TimedHarmony {
  const start = Math.max(event.start, from);
  const end = Math.min(event.start + event.length, to);
  return start === event.start && end === event.start + event.length
    ? event
    : { start, length: end - start, harmony: event.harmony };
}

/** The harmony that sounds at a tick; null outside the line, which is in order and without gaps. */
export function harmonyAt(line: readonly TimedHarmony[], at: Ticks): Harmony | null {
  const event = line[lastStartingBy(line, at)];
  return event && at >= event.start && at < event.start + event.length ? event.harmony : null;
}
