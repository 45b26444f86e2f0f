import { parentPort, workerData } from 'node:worker_threads';
import { writeTune } from '../../shared-core/tune/write.ts';
import { readFile } from './read-file.ts';

/** What the worker is given. */
export interface ReadTask {
  readonly name: string;
  readonly bytes: Uint8Array;
}

// Tunes go back as text: it is exact, and chord qualities must be made where they are used.
const task = workerData as ReadTask;
const read = readFile(task.name, task.bytes);
parentPort?.postMessage(
  read.ok
    ? {
        ok: true,
        value: read.value.map(({ tune, warnings }) => ({ text: writeTune(tune), warnings })),
      }
    : read,
);
