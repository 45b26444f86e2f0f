import { Worker } from 'node:worker_threads';
import type { Part } from '../../shared-core/parts/model.ts';
import type { PrintRequest, PrintResult } from './jobs.ts';
import type { PrintOptions } from './options.ts';
import type { FromWorker, ToWorker } from './print.worker.ts';
import type { SetSheet } from './set-sheet.ts';

export type { PrintOptions } from './options.ts';
export type { SetSheet, SetSheetLine } from './set-sheet.ts';

/** How a job is watched and ended. */
export interface PrintWatch {
  /** Ends the job between two charts; the promise then rejects with the signal's reason. */
  readonly signal?: AbortSignal;
  /** Called after each chart. */
  readonly onProgress?: (done: number, total: number, title: string) => void;
}

/** What a book is called, and the set sheet that opens it. */
export interface BookOptions extends PrintOptions, PrintWatch {
  readonly title: string;
  readonly author?: string;
  readonly sheet?: SetSheet | null;
}

/** A chart could not be printed. `code` is `print/missing-glyph` where a character has no outline in our fonts. */
export class PrintError extends Error {
  readonly code: string;
  constructor(message: string, code: string) {
    super(message);
    this.name = 'PrintError';
    this.code = code;
  }
}

/**
 * A part as SVG pages that need nothing else: letters are outlines.
 *
 * @throws PrintError; the signal's reason when aborted
 */
export async function partToSvg(
  part: Part,
  options: PrintOptions & PrintWatch = {},
): Promise<string[]> {
  const result = await send({ kind: 'svg', part, options: plain(options) }, options);
  if (result.kind !== 'svg') throw new Error('The printer answered something else');
  return result.pages;
}

/**
 * A part as a PDF: fonts embedded, text that can be searched and copied with its flats and sharps,
 * bookmarks, title and author.
 *
 * @throws PrintError; the signal's reason when aborted
 */
export function partToPdf(
  part: Part,
  options: PrintOptions & PrintWatch = {},
): Promise<Uint8Array> {
  const { title, chair, credit } = part.head;
  return pdf(
    { title: `${title}, ${chair}`, author: credit ?? '', sheet: null, parts: [part] },
    options,
  );
}

/**
 * Many parts in one PDF, a bookmark each, behind a set sheet if one is given. Give the parts of one
 * chair for that chair's book.
 *
 * @throws PrintError; the signal's reason when aborted
 */
export function bookToPdf(parts: readonly Part[], options: BookOptions): Promise<Uint8Array> {
  const { title, author = '', sheet = null } = options;
  return pdf({ title, author, sheet, parts }, options);
}

/** A set sheet alone. */
export function setSheetToPdf(
  sheet: SetSheet,
  options: PrintOptions & PrintWatch = {},
): Promise<Uint8Array> {
  return pdf({ title: sheet.title, author: '', sheet, parts: [] }, options);
}

async function pdf(
  request: Omit<Extract<PrintRequest, { kind: 'pdf' }>, 'kind' | 'options'>,
  options: PrintOptions & PrintWatch,
): Promise<Uint8Array> {
  const result = await send({ kind: 'pdf', ...request, options: plain(options) }, options);
  if (result.kind !== 'pdf') throw new Error('The printer answered something else');
  return result.bytes;
}

/** The options that travel to the thread. */
function plain({ paper, large, style, leftHanded }: PrintOptions): PrintOptions {
  return {
    ...(paper === undefined ? {} : { paper }),
    ...(large === undefined ? {} : { large }),
    ...(style === undefined ? {} : { style }),
    ...(leftHanded === undefined ? {} : { leftHanded }),
  };
}

interface Waiting {
  readonly resolve: (result: PrintResult) => void;
  readonly reject: (reason: unknown) => void;
  readonly watch: PrintWatch;
}

/** The one printing thread, started with the first job; it does not keep the program alive when idle. */
let worker: Worker | null = null;
let nextId = 1;
const waiting = new Map<number, Waiting>();

function send(request: PrintRequest, watch: PrintWatch): Promise<PrintResult> {
  const { signal } = watch;
  return new Promise((resolve, reject) => {
    if (signal?.aborted) {
      reject(signal.reason);
      return;
    }
    const id = nextId++;
    const thread = startWorker();
    const abort = (): void => {
      thread.postMessage({ kind: 'cancel', id } satisfies ToWorker);
      settle(id)?.reject(signal?.reason);
    };
    signal?.addEventListener('abort', abort, { once: true });
    const free = (): void => signal?.removeEventListener('abort', abort);
    waiting.set(id, {
      watch,
      resolve: (result) => {
        free();
        resolve(result);
      },
      reject: (reason) => {
        free();
        reject(reason);
      },
    });
    thread.ref();
    thread.postMessage({ kind: 'run', id, request } satisfies ToWorker);
  });
}

function startWorker(): Worker {
  if (worker) return worker;
  const made = new Worker(new URL('./print.worker.ts', import.meta.url));
  worker = made;
  made.on('message', (message: FromWorker) => receive(message));
  made.on('error', (error) => lose(made, error));
  made.on('exit', (code) => lose(made, new Error(`The printing thread ended (${code})`)));
  made.unref();
  return made;
}

function receive(message: FromWorker): void {
  switch (message.kind) {
    case 'step':
      waiting.get(message.id)?.watch.onProgress?.(message.done, message.total, message.title);
      return;
    case 'done':
      settle(message.id)?.resolve(message.result);
      return;
    case 'failed':
      settle(message.id)?.reject(new PrintError(message.message, message.code ?? 'print/failed'));
      return;
  }
}

/** Takes a job off the list; the thread may then rest. */
function settle(id: number): Waiting | undefined {
  const job = waiting.get(id);
  waiting.delete(id);
  if (waiting.size === 0) worker?.unref();
  return job;
}

/** The thread is gone: every job fails, and the next one starts a new thread. */
function lose(lost: Worker, error: Error): void {
  if (worker !== lost) return;
  worker = null;
  for (const id of [...waiting.keys()])
    settle(id)?.reject(new PrintError(error.message, 'print/failed'));
}

/** Ends the printing thread; jobs under way fail. */
export async function closePrinter(): Promise<void> {
  const thread = worker;
  worker = null;
  await thread?.terminate();
}
