import { planChoruses } from '../../shared-core/arrangement/plan-choruses.ts';
import { encode } from '../../shared-core/contract/codec.ts';
import type { WireCommand, WireState } from '../../shared-core/contract/index.ts';
import { type TasteCount, tasteOf } from '../../shared-core/proposals/taste.ts';
import { openTune } from './open-tune.ts';
import { holdState } from './wire.ts';

/** What crosses to the worker: text and plain records only. */
export interface PlanMessage {
  readonly text: string;
  readonly state: WireState;
  readonly intensities: readonly number[];
  readonly taste: readonly TasteCount[];
}

/** A plan: what it places, chorus by chorus (counted from 0), and how much it leaves as written (0-1). */
export interface PlanAnswer {
  readonly plainShare: number;
  readonly slips: readonly {
    readonly chorus: number;
    readonly command: Extract<WireCommand, { kind: 'accept' }>;
  }[];
}

self.onmessage = ({ data }: MessageEvent<PlanMessage>) => {
  const opened = openTune(data.text);
  if (!opened.ok) throw new Error(opened.message);
  const { analysis, tune } = opened.value;
  const { state } = holdState(data.state, null);
  const plan = planChoruses({
    analysis,
    tempo: state.head.tempo ?? tune.tempo,
    state,
    intensities: data.intensities,
    taste: tasteOf(data.taste),
  });
  const answer: PlanAnswer = {
    plainShare: plan.plainShare,
    slips: plan.slips.map(({ chorus, placement }) => ({
      chorus,
      command: encode({ kind: 'accept', placement }) as PlanAnswer['slips'][number]['command'],
    })),
  };
  postMessage(answer);
};
