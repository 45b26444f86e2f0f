import { planChoruses } from '../../shared-core/arrangement/plan-choruses.ts';
import { encode } from '../../shared-core/contract/codec.ts';
import type { WireState } from '../../shared-core/contract/index.ts';
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
  postMessage({
    plainShare: plan.plainShare,
    slips: plan.slips.map(({ placement, ...slip }) => ({
      ...slip,
      command: encode({ kind: 'accept', placement }),
    })),
  });
};
