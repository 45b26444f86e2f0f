import type { KeptNote } from '../../shared-core/arrangement/model.ts';
import { realise } from '../../shared-core/arrangement/realise.ts';
import type { WireState } from '../../shared-core/contract/index.ts';
import { lineForChair } from '../../shared-core/line/for-chair.ts';
import type { Compass } from '../../shared-core/line/guide.ts';
import { exampleLine } from '../../shared-core/line/line.ts';
import type { LineDegree } from '../../shared-core/line/model.ts';
import { openTune } from './open-tune.ts';
import { holdState } from './wire.ts';

/** What crosses to the worker: text and plain records only. */
export interface LineMessage {
  readonly ticket: number;
  readonly text: string;
  readonly state: WireState;
  /** 0-based chorus. */
  readonly order: number;
  readonly compass: Compass;
  readonly degree: LineDegree;
  readonly seed: number;
}

/** What comes back. */
export interface LineAnswer {
  readonly ticket: number;
  readonly notes: readonly KeptNote[];
}

self.onmessage = ({ data }: MessageEvent<LineMessage>) => {
  const { ticket, order, compass, degree, seed } = data;
  const opened = openTune(data.text);
  if (!opened.ok) throw new Error(opened.message);
  const { chorus, key } = opened.value.analysis;
  const { state } = holdState(data.state, null);
  const wish = { chorus, realisation: realise(chorus, state), key, order, compass, degree, seed };
  const notes = exampleLine(lineForChair(wish));
  const answer: LineAnswer = { ticket, notes };
  postMessage(answer);
};
