import type { Band, Chair } from '../arrangement/band.ts';
import type { ArrangementState, Direction, Realisation } from '../arrangement/model.ts';
import { realise } from '../arrangement/realise.ts';
import type { Key } from '../pitch/key.ts';
import type { Ticks } from '../time/meter.ts';
import type { Chorus, FormBar, Tune } from '../tune/model.ts';
import { type Feel, feelOf } from './feel.ts';

/** What is to be played. */
export interface PerformInput {
  readonly tune: Tune;
  readonly chorus: Chorus;
  /** Key the tune is in (written or inferred). */
  readonly key: Key;
  readonly state: ArrangementState;
  readonly band: Band;
  readonly options?: PerformOptions;
}

/** How it is to be played. */
export interface PerformOptions {
  /** Bars counted in; absent: one, or two from 160 beats a minute. */
  readonly countInBars?: number;
  /** Leave this chair out: its minus-one. */
  readonly without?: string;
  /** 1 as marked, 0.5 half speed. */
  readonly speed?: number;
  /** Only these choruses, 0-based, one after another. */
  readonly choruses?: { readonly from: number; readonly to: number };
}

/** Tempo taken when neither the arrangement nor the tune names one. */
export const USUAL_TEMPO = 120;

/** A bar of the whole arrangement, end to end. */
export interface PlayedBar extends FormBar {
  /** 0-based chorus, and its intensity 0-5. */
  readonly chorus: number;
  readonly intensity: number;
}

/** Everything the players of a performance share. Times are ticks from the first bar, before swing. */
export interface Stage {
  readonly tune: Tune;
  readonly chorus: Chorus;
  readonly realisation: Realisation;
  readonly bars: readonly PlayedBar[];
  readonly feel: Feel;
  readonly tempo: number;
  readonly directions: readonly (Direction & { readonly at: Ticks })[];
  readonly chairs: readonly Chair[];
  readonly withBass: boolean;
}

const HOUSE_DRUMS: Chair = {
  id: 'drums',
  name: 'Drums',
  instrument: 'drum-set',
  role: 'drums',
  order: 99,
};

/** Sets the stage: the arrangement laid out, and who plays it how. */
export function stageOf(input: PerformInput): Stage {
  const { tune, chorus, state } = input;
  const realisation = realise(chorus, state);
  const chairs = [...input.band.chairs].sort((a, b) => a.order - b.order);
  const drummed =
    chairs.some((chair) => chair.role === 'drums') || input.options?.without === HOUSE_DRUMS.id;
  const order = new Map(realisation.choruses.map((plan) => [plan.id, plan.order]));
  return {
    tune,
    chorus,
    realisation,
    bars: barsOf(chorus, realisation),
    feel: feelOf(state.head.feel ?? tune.feel, tune.meter),
    tempo: state.head.tempo ?? tune.tempo ?? USUAL_TEMPO,
    directions: Object.values(state.directions).map((direction) => ({
      ...direction,
      at: (order.get(direction.chorus) ?? 0) * chorus.length + direction.start,
    })),
    chairs: drummed ? chairs : [...chairs, HOUSE_DRUMS],
    withBass: chairs.some((chair) => chair.role === 'bass'),
  };
}

function barsOf(chorus: Chorus, realisation: Realisation): PlayedBar[] {
  return realisation.choruses.flatMap((plan) =>
    chorus.bars.map((bar) => ({
      ...bar,
      start: bar.start + plan.order * chorus.length,
      chorus: plan.order,
      intensity: plan.intensity,
    })),
  );
}
