import type { Band } from '../../shared-core/arrangement/band.ts';
import { encode } from '../../shared-core/contract/codec.ts';
import type { WireState } from '../../shared-core/contract/index.ts';
import type { Performance } from '../../shared-core/performance/model.ts';
import { writeTune } from '../../shared-core/tune/write.ts';
import type { Performer } from '../transport/scenes.ts';
import type { OpenTune } from './open-tune.ts';
import type { PerformAnswer, PerformMessage } from './perform-worker.ts';

let worker: Worker | null = null;
let tickets = 0;

/**
 * A performer that works beside the window, so that voicing a long arrangement never holds up a key.
 * Rejects when the tune cannot be played.
 */
export function performerFor(open: OpenTune, band: Band): Performer {
  const text = writeTune(open.tune);
  return (state, options) => {
    tickets += 1;
    return ask({
      ticket: tickets,
      text,
      state: encode(state) as WireState,
      band,
      options,
    });
  };
}

function ask(message: PerformMessage): Promise<Performance> {
  worker ??= new Worker(new URL('./perform-worker.ts', import.meta.url), { type: 'module' });
  const asked = worker;
  return new Promise((resolve, reject) => {
    const done = () => {
      asked.removeEventListener('message', onMessage);
      asked.removeEventListener('error', onError);
    };
    const onMessage = ({ data }: MessageEvent<PerformAnswer>) => {
      if (data.ticket !== message.ticket) return;
      done();
      resolve(data.performance);
    };
    const onError = (event: ErrorEvent) => {
      done();
      worker = null;
      asked.terminate();
      reject(new Error(event.message || 'the arrangement could not be played'));
    };
    asked.addEventListener('message', onMessage);
    asked.addEventListener('error', onError);
    asked.postMessage(message);
  });
}
