import { parentPort } from 'node:worker_threads';
import { MissingGlyphError } from './fonts.ts';
import { type PrintRequest, type PrintResult, runPrint } from './jobs.ts';

/** Messages from the program to this thread. */
export type ToWorker =
  | { readonly kind: 'run'; readonly id: number; readonly request: PrintRequest }
  | { readonly kind: 'cancel'; readonly id: number };

/** Messages back. */
export type FromWorker =
  | {
      readonly kind: 'step';
      readonly id: number;
      readonly done: number;
      readonly total: number;
      readonly title: string;
    }
  | { readonly kind: 'done'; readonly id: number; readonly result: PrintResult }
  | {
      readonly kind: 'failed';
      readonly id: number;
      readonly message: string;
      readonly code: string | null;
      readonly stack: string;
    };

/** The printing thread: one engraver, one job after the other, ended between two charts when asked. */
const port = parentPort;
if (!port) throw new Error('The printer runs in a thread of its own');

const cancelled = new Set<number>();
let queue: Promise<void> = Promise.resolve();

port.on('message', (message: ToWorker) => {
  if (message.kind === 'cancel') cancelled.add(message.id);
  else queue = queue.then(() => run(message.id, message.request));
});

async function run(id: number, request: PrintRequest): Promise<void> {
  const send = (message: FromWorker, move: readonly ArrayBuffer[] = []): void =>
    port?.postMessage(message, [...move]);
  try {
    assertWanted(id);
    const result = await runPrint(request, async (done, total, title) => {
      send({ kind: 'step', id, done, total, title });
      // Lets a cancel message in.
      await new Promise((resolve) => setImmediate(resolve));
      assertWanted(id);
    });
    const move = result.kind === 'pdf' ? [result.bytes.buffer as ArrayBuffer] : [];
    send({ kind: 'done', id, result }, move);
  } catch (error) {
    const known = error instanceof Error ? error : new Error(String(error));
    const code = known instanceof MissingGlyphError ? known.code : null;
    send({ kind: 'failed', id, message: known.message, code, stack: known.stack ?? '' });
  } finally {
    cancelled.delete(id);
  }
}

function assertWanted(id: number): void {
  if (cancelled.has(id)) throw new Error('cancelled');
}
