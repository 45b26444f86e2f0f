import type { Band } from '../../shared-core/arrangement/band.ts';
import type { WireState } from '../../shared-core/contract/index.ts';
import type { Performance } from '../../shared-core/performance/model.ts';
import { perform } from '../../shared-core/performance/perform.ts';
import type { PerformOptions } from '../../shared-core/performance/stage.ts';
import { type OpenTune, openTune } from './open-tune.ts';
import { holdState } from './wire.ts';

/** What crosses to the worker: text and plain records only. */
export interface PerformMessage {
  readonly ticket: number;
  readonly text: string;
  readonly state: WireState;
  readonly band: Band;
  readonly options: PerformOptions;
}

/** What comes back. */
export interface PerformAnswer {
  readonly ticket: number;
  readonly performance: Performance;
}

let last: { readonly text: string; readonly open: OpenTune } | null = null;

function opened(text: string): OpenTune {
  if (last?.text === text) return last.open;
  const read = openTune(text);
  if (!read.ok) throw new Error(read.message);
  last = { text, open: read.value };
  return read.value;
}

self.onmessage = ({ data }: MessageEvent<PerformMessage>) => {
  const { tune, analysis } = opened(data.text);
  const answer: PerformAnswer = {
    ticket: data.ticket,
    performance: perform({
      tune,
      chorus: analysis.chorus,
      key: analysis.key,
      state: holdState(data.state, null).state,
      band: data.band,
      options: data.options,
    }),
  };
  postMessage(answer);
};
