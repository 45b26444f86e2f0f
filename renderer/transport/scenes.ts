import { applyCommand, chorusesInOrder } from '../../shared-core/arrangement/fold.ts';
import type { ArrangementState, Placement } from '../../shared-core/arrangement/model.ts';
import type { Performance } from '../../shared-core/performance/model.ts';
import type { PerformOptions } from '../../shared-core/performance/stage.ts';
import { beatTicks, TICKS_PER_QUARTER, type Ticks } from '../../shared-core/time/meter.ts';
import type { OpenTune } from '../engine/open-tune.ts';
import type { Scene } from './transport-store.ts';

/** Plays a state of an arrangement into notes. */
export type Performer = (state: ArrangementState, options: PerformOptions) => Promise<Performance>;

/** What every scene is made from. */
export interface Stage {
  readonly open: OpenTune;
  readonly state: ArrangementState;
  readonly perform: Performer;
  /** Counted beats a minute to practise at; null as the arrangement says. */
  readonly tempo: number | null;
}

/** A stretch of one chorus. */
export interface Spot {
  /** 0-based. */
  readonly chorus: number;
  readonly start: Ticks;
  readonly length: Ticks;
}

/** What stands at a spot while it is heard: what was decided, the written changes, or one placement. */
export type Hearing =
  | { readonly kind: 'decided' }
  | { readonly kind: 'written' }
  | { readonly kind: 'placed'; readonly placement: Placement };

/**
 * A spot with a bar before it to get into the swing and a bar after it to hear it come home. Goes into the
 * neighbouring choruses where there are any. No count-in: the bar before is one.
 */
export async function spotScene(stage: Stage, spot: Spot, hearing: Hearing): Promise<Scene> {
  const { chorus } = stage.open.analysis;
  const choruses = chorusesInOrder(stage.state);
  const first = Math.max(0, spot.chorus - 1);
  const last = Math.min(choruses.length - 1, spot.chorus + 1);
  const state = heard(stage.state, choruses[spot.chorus]?.id ?? '', spot, hearing);
  const performance = await performed(stage, state, {
    countInBars: 0,
    choruses: { from: first, to: last },
  });
  const base = (spot.chorus - first) * chorus.length;
  const bar = chorus.bars[0]?.length ?? chorus.length;
  const from = Math.max(0, base + spot.start - bar);
  const end = (last - first + 1) * chorus.length;
  return {
    performance,
    stretch: { from, to: Math.min(end, base + spot.start + spot.length + bar), again: from },
    placeOf: placer(performance.countIn, first, chorus.length),
  };
}

/** Choruses `from` up to and with `to`, 0-based, with or without a count-in before them. */
export async function chorusScene(
  stage: Stage,
  from: number,
  to: number,
  countIn: boolean,
): Promise<Scene> {
  const performance = await performed(stage, stage.state, {
    ...(countIn ? {} : { countInBars: 0 }),
    choruses: { from, to },
  });
  const { length, countIn: counted } = performance;
  return {
    performance,
    stretch: { from: 0, to: length, again: counted },
    placeOf: placer(counted, from, stage.open.analysis.chorus.length),
  };
}

/** The state with the spot as it is to be heard. */
function heard(
  state: ArrangementState,
  chorus: string,
  spot: Spot,
  hearing: Hearing,
): ArrangementState {
  if (hearing.kind === 'decided') return state;
  const clear = Object.entries(state.placements).filter(
    ([, placement]) =>
      placement.chorus !== chorus ||
      placement.start >= spot.start + spot.length ||
      placement.start + placement.length <= spot.start,
  );
  const bare = { ...state, placements: Object.fromEntries(clear) };
  if (hearing.kind === 'written') return bare;
  const applied = applyCommand(bare, { kind: 'accept', placement: hearing.placement });
  if (!applied.ok) throw new Error(`A proposal could not be laid: ${applied.error.code}`);
  return applied.value.state;
}

async function performed(
  stage: Stage,
  state: ArrangementState,
  options: PerformOptions,
): Promise<Performance> {
  const performance = await stage.perform(state, options);
  return stage.tempo === null
    ? performance
    : { ...performance, quarterBpm: quarterBpm(stage.open, stage.tempo) };
}

/** Counted beats a minute as quarters a minute. */
export function quarterBpm(open: OpenTune, tempo: number): number {
  return (tempo * beatTicks(open.tune.meter)) / TICKS_PER_QUARTER;
}

function placer(countIn: Ticks, first: number, length: Ticks): Scene['placeOf'] {
  return (tick) => {
    const at = tick - countIn;
    return at < 0 ? null : { chorus: first + Math.floor(at / length), at: at % length };
  };
}
