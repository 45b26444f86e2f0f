import type { Answer, ContractError } from '../../shared-core/contract/errors.ts';
import type { ExportProgress } from '../../shared-core/contract/types.ts';
import { failure, success } from './failures.ts';
import { distinctNames, type MadeFile } from './files.ts';

/** One step of a job: words for it, and what it makes. */
export interface JobStep {
  readonly words: string;
  run(): Promise<readonly MadeFile[]>;
}

/** Jobs that may run at once; each holds its files in memory. */
const RUNNING_LIMIT = 4;

/** Finished jobs whose files are kept for reading. */
const KEPT_JOBS = 6;

interface Job {
  progress: ExportProgress;
  readonly files: Map<string, MadeFile>;
  /** Made of the files for handing over, such as their archive. */
  readonly extras: Map<string, MadeFile>;
  readonly stop: AbortController;
  finished: Promise<void>;
}

/**
 * Work that takes longer than a breath: runs step by step, lets other requests through between steps,
 * says how far it is, and can be cancelled. The files of a cancelled or failed job are not kept.
 */
export class Jobs {
  readonly #jobs = new Map<string, Job>();
  readonly #makeId: () => string;
  readonly #errorOf: (thrown: unknown) => ContractError;

  /** @param errorOf what a step that throws means to the person */
  constructor(makeId: () => string, errorOf: (thrown: unknown) => ContractError) {
    this.#makeId = makeId;
    this.#errorOf = errorOf;
  }

  /** Starts a job; answers its id. Error: `export/busy`. */
  start(steps: readonly JobStep[]): Answer<string> {
    const running = [...this.#jobs.values()].filter((job) => job.progress.state === 'running');
    if (running.length >= RUNNING_LIMIT) {
      return failure('export/busy', 'Several exports are under way; wait for one to finish.', {
        retry: true,
      });
    }
    const id = this.#makeId();
    const job: Job = {
      progress: { done: 0, total: steps.length, step: '', state: 'running', files: [] },
      files: new Map(),
      extras: new Map(),
      stop: new AbortController(),
      finished: Promise.resolve(),
    };
    this.#jobs.set(id, job);
    job.finished = this.#run(job, steps);
    this.#forgetOld();
    return success(id);
  }

  /** How far a job is. Error: `export/no-job`. */
  progress(id: string): Answer<ExportProgress> {
    const job = this.#jobs.get(id);
    return job ? success(job.progress) : noJob(id);
  }

  /** Asks a job to stop; it does so after the step it is in. */
  cancel(id: string): Answer<Record<string, never>> {
    const job = this.#jobs.get(id);
    if (!job) return noJob(id);
    job.stop.abort();
    if (job.progress.state === 'running') job.progress = { ...job.progress, state: 'cancelled' };
    return success({});
  }

  /** The file behind a handle. Error: `export/no-file`. */
  file(handle: string): Answer<MadeFile> {
    for (const job of this.#jobs.values()) {
      const file = job.files.get(handle) ?? job.extras.get(handle);
      if (file) return success(file);
    }
    return failure('export/no-file', 'This file is no longer kept; export it again.', {
      data: { handle },
    });
  }

  /** Every file of a job that is done. */
  files(id: string): Answer<readonly MadeFile[]> {
    const job = this.#jobs.get(id);
    if (!job) return noJob(id);
    if (job.progress.state !== 'done') {
      return failure(
        'export/no-file',
        'The export is not finished; wait for it, or start it again.',
      );
    }
    return success([...job.files.values()]);
  }

  /** Keeps one more file with a job, such as the archive of all its files; answers its handle. */
  keep(id: string, file: MadeFile): Answer<string> {
    const job = this.#jobs.get(id);
    if (!job) return noJob(id);
    const handle = this.#makeId();
    // The one before is let go of: it holds the same files once more.
    job.extras.clear();
    job.extras.set(handle, file);
    return success(handle);
  }

  /** Waits until a job has ended, whichever way. */
  async ended(id: string): Promise<Answer<ExportProgress>> {
    await this.#jobs.get(id)?.finished;
    return this.progress(id);
  }

  /** Cancels whatever runs and waits for it. */
  async close(): Promise<void> {
    for (const id of this.#jobs.keys()) this.cancel(id);
    await Promise.all([...this.#jobs.values()].map((job) => job.finished));
    this.#jobs.clear();
  }

  async #run(job: Job, steps: readonly JobStep[]): Promise<void> {
    const made: MadeFile[] = [];
    try {
      for (const [done, step] of steps.entries()) {
        // A turn of the event loop, so that progress can be asked for and a cancel heard.
        await new Promise((resolve) => setImmediate(resolve));
        if (job.stop.signal.aborted) return;
        job.progress = { ...job.progress, done, step: step.words };
        made.push(...(await step.run()));
      }
      if (job.stop.signal.aborted) return;
      this.#finish(job, made);
    } catch (thrown) {
      job.progress = { ...job.progress, state: 'failed', error: this.#errorOf(thrown) };
    }
  }

  #finish(job: Job, made: readonly MadeFile[]): void {
    const files = distinctNames(made).map((file) => {
      const handle = this.#makeId();
      job.files.set(handle, file);
      return { name: file.name, handle, bytes: file.bytes.byteLength };
    });
    const total = job.progress.total;
    job.progress = { done: total, total, step: '', state: 'done', files };
  }

  #forgetOld(): void {
    const ended = [...this.#jobs].filter(([, job]) => job.progress.state !== 'running');
    for (const [id] of ended.slice(0, Math.max(0, ended.length - KEPT_JOBS))) this.#jobs.delete(id);
  }
}

function noJob(id: string): { readonly ok: false; readonly error: ContractError } {
  return failure('export/no-job', 'This export is no longer known; start it again.', {
    data: { job: id },
  });
}
