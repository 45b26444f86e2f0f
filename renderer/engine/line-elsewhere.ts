import type { ArrangementState, KeptNote } from '../../shared-core/arrangement/model.ts';
import { encode } from '../../shared-core/contract/codec.ts';
import type { WireState } from '../../shared-core/contract/index.ts';
import { writeTune } from '../../shared-core/tune/write.ts';
import type { LineAnswer, LineMessage } from './line-worker.ts';
import type { OpenTune } from './open-tune.ts';

let worker: Worker | null = null;
let tickets = 0;

/** What a line is wished for. */
export type LineWish = Pick<LineMessage, 'order' | 'compass' | 'degree' | 'seed'>;

/**
 * An example line, worked out beside the window. Null when it was stopped. Rejects when the tune cannot be
 * played over.
 */
export function lineElsewhere(
  open: OpenTune,
  state: ArrangementState,
  wish: LineWish,
  signal: AbortSignal,
): Promise<readonly KeptNote[] | null> {
  worker ??= new Worker(new URL('./line-worker.ts', import.meta.url), { type: 'module' });
  const asked = worker;
  tickets += 1;
  const ticket = tickets;
  return new Promise((resolve, reject) => {
    const done = () => {
      asked.removeEventListener('message', onMessage);
      asked.removeEventListener('error', onError);
      signal.removeEventListener('abort', onAbort);
    };
    /** Stopping means ending the worker: it hears nothing while it works. */
    const dismiss = () => {
      done();
      if (worker === asked) worker = null;
      asked.terminate();
    };
    const onMessage = ({ data }: MessageEvent<LineAnswer>) => {
      if (data.ticket !== ticket) return;
      done();
      resolve(data.notes);
    };
    const onError = (event: ErrorEvent) => {
      dismiss();
      reject(new Error(event.message || 'the line could not be written'));
    };
    const onAbort = () => {
      dismiss();
      resolve(null);
    };
    asked.addEventListener('message', onMessage);
    asked.addEventListener('error', onError);
    signal.addEventListener('abort', onAbort);
    const message: LineMessage = {
      ...wish,
      ticket,
      text: writeTune(open.tune),
      state: encode(state) as WireState,
    };
    asked.postMessage(message);
  });
}
