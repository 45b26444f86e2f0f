import { Worker } from 'node:worker_threads';
import { err, ok, type Result } from '../../shared-core/result.ts';
import type { Tune } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import type { ImportError, ImportErrorCode } from './errors.ts';
import type { ImportedTune } from './finish.ts';
import { DEADLINE, WORKER_FROM_BYTES } from './limits.ts';
import { readFile } from './read-file.ts';

export type { ImportError, ImportErrorCode } from './errors.ts';
export { tuneToMusicXml } from './write-musicxml.ts';

/** The tunes of a file, and what should be known about how they were read. */
export interface Imported {
  readonly tunes: Tune[];
  readonly warnings: string[];
}

/** What a worker answers: tunes as text. */
type WorkerAnswer = Result<
  readonly { readonly text: string; readonly warnings: readonly string[] }[],
  ImportError
>;

/**
 * Reads a file of tune text, MusicXML (plain or compressed), ABC or MIDI. The kind is known by the
 * contents, whatever the name. Nothing is fetched and nothing written. Large files and archives are read
 * in a worker, which is ended at the deadline or by `signal`.
 *
 * @param name the file's name, for messages
 * @returns the tunes in the order of the file, or why it was not read; a file is read wholly or not at all
 */
export async function importFile(
  name: string,
  bytes: Uint8Array,
  signal?: AbortSignal,
): Promise<Result<Imported, ImportError>> {
  if (signal?.aborted) return err(ended('import/aborted', name));
  const isArchive = bytes[0] === 0x50 && bytes[1] === 0x4b;
  if (bytes.length < WORKER_FROM_BYTES && !isArchive) return gathered(readFile(name, bytes));
  const answer = await inWorker(name, bytes, signal);
  if (!answer.ok) return answer;
  const tunes = answer.value.map(({ text, warnings }) => ({ tune: tuneOf(text), warnings }));
  return gathered(ok(tunes));
}

function gathered(
  read: Result<readonly ImportedTune[], ImportError>,
): Result<Imported, ImportError> {
  if (!read.ok) return read;
  const several = read.value.length > 1;
  return ok({
    tunes: read.value.map(({ tune }) => tune),
    warnings: read.value.flatMap(({ tune, warnings }) =>
      warnings.map((warning) => (several ? `${tune.title}: ${warning}` : warning)),
    ),
  });
}

/** The worker writes only what reads back. */
function tuneOf(text: string): Tune {
  const { tune, errors } = readTune(text);
  if (!tune || errors.length > 0) throw new Error(`The worker wrote a tune that is none: ${text}`);
  return tune;
}

function inWorker(name: string, bytes: Uint8Array, signal?: AbortSignal): Promise<WorkerAnswer> {
  return new Promise((resolve) => {
    const worker = new Worker(new URL('./tune-file.worker.ts', import.meta.url), {
      workerData: { name, bytes },
      resourceLimits: { maxOldGenerationSizeMb: 1024 },
    });
    const end = (answer: WorkerAnswer) => {
      clearTimeout(timer);
      signal?.removeEventListener('abort', abort);
      resolve(answer);
      void worker.terminate();
    };
    const abort = () => end(err(ended('import/aborted', name)));
    const timer = setTimeout(() => end(err(ended('import/deadline', name))), DEADLINE);
    signal?.addEventListener('abort', abort);
    worker.once('message', end);
    worker.once('error', (error: Error & { code?: string }) => {
      if (error.code === 'ERR_WORKER_OUT_OF_MEMORY') end(err(ended('import/limit', name)));
      else
        end(err({ code: 'import/limit', message: `${name}: reading it failed: ${error.message}` }));
    });
  });
}

const SENTENCES: Readonly<Partial<Record<ImportErrorCode, string>>> = {
  'import/aborted': 'reading it was stopped.',
  'import/deadline': `it was not read within ${DEADLINE / 1000} seconds. Choose a smaller file.`,
  'import/limit': 'it needs more memory than a tune may take. Choose a smaller file.',
};

function ended(code: ImportErrorCode, name: string): ImportError {
  return { code, message: `${name}: ${SENTENCES[code] ?? ''}` };
}
