import type { Band } from '../../shared-core/arrangement/band.ts';
import { applyCommand, chorusesInOrder } from '../../shared-core/arrangement/fold.ts';
import type {
  ArrangementState,
  ChorusPlan,
  Placement,
} from '../../shared-core/arrangement/model.ts';
import { perform } from '../../shared-core/performance/perform.ts';
import { beatTicks, TICKS_PER_QUARTER, type Ticks } from '../../shared-core/time/meter.ts';
import type { OpenTune } from '../engine/open-tune.ts';
import type { Scene } from './transport-store.ts';

/** What every scene is made from. */
export interface Stage {
  readonly open: OpenTune;
  readonly state: ArrangementState;
  readonly band: Band;
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
export function spotScene(stage: Stage, spot: Spot, hearing: Hearing, name: string): Scene {
  const around = choruses(stage.state, spot.chorus - 1, spot.chorus + 2);
  const first = around[0]?.order ?? 0;
  const state = heard(onlyChoruses(stage.state, around), around, spot, first, hearing);
  const { chorus } = stage.open.analysis;
  const base = (spot.chorus - first) * chorus.length;
  const bar = chorus.bars[0]?.length ?? chorus.length;
  const from = Math.max(0, base + spot.start - bar);
  const to = Math.min(around.length * chorus.length, base + spot.start + spot.length + bar);
  const performance = performed(stage, state, 0);
  return {
    name,
    performance,
    stretch: { from, to, again: from },
    placeOf: placer(performance.countIn, first, chorus.length),
  };
}

/** Choruses `from` up to but not with `to`, with or without a count-in before them. */
export function chorusScene(
  stage: Stage,
  from: number,
  to: number,
  countIn: boolean,
  name: string,
): Scene {
  const around = choruses(stage.state, from, to);
  const performance = performed(stage, onlyChoruses(stage.state, around), countIn ? undefined : 0);
  const { length, countIn: counted } = performance;
  return {
    name,
    performance,
    stretch: { from: 0, to: length, again: counted },
    placeOf: placer(counted, around[0]?.order ?? 0, stage.open.analysis.chorus.length),
  };
}

function choruses(state: ArrangementState, from: number, to: number): readonly ChorusPlan[] {
  return chorusesInOrder(state).slice(Math.max(0, from), to);
}

/** The arrangement cut down to some choruses, so that no more is voiced than is heard. */
function onlyChoruses(state: ArrangementState, kept: readonly ChorusPlan[]): ArrangementState {
  const ids = new Set(kept.map((plan) => plan.id));
  const ofKept = <T extends { readonly chorus: string }>(table: Readonly<Record<string, T>>) =>
    Object.fromEntries(Object.entries(table).filter(([, record]) => ids.has(record.chorus)));
  return {
    ...state,
    choruses: Object.fromEntries(kept.map((plan, order) => [plan.id, { ...plan, order }])),
    placements: ofKept(state.placements),
    rejections: {},
    directions: ofKept(state.directions),
  };
}

function heard(
  state: ArrangementState,
  around: readonly ChorusPlan[],
  spot: Spot,
  first: number,
  hearing: Hearing,
): ArrangementState {
  if (hearing.kind === 'decided') return state;
  const chorus = around[spot.chorus - first]?.id;
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

function performed(stage: Stage, state: ArrangementState, countInBars: number | undefined) {
  const { tune, analysis } = stage.open;
  const performance = perform({
    tune,
    chorus: analysis.chorus,
    key: analysis.key,
    state,
    band: stage.band,
    ...(countInBars === undefined ? {} : { options: { countInBars } }),
  });
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
