import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { ExportProgress } from '../../shared-core/contract/types.ts';
import type { OpenContext } from '../app/open.ts';
import { CommandFailure, type Io, need } from './io.ts';

/** A file that was written, and its size. */
export interface Written {
  readonly name: string;
  readonly path: string;
  readonly bytes: number;
}

/** Waits for an export, saying how far it is, and writes its files into a folder that is made if need be. */
export async function writeExport(
  app: OpenContext,
  job: string,
  folder: string,
  io: Io,
): Promise<readonly Written[]> {
  const { jobs } = app.context;
  const watch = setInterval(() => say(jobs.progress(job), io), 1000);
  const ended = await jobs.ended(job).finally(() => clearInterval(watch));
  const progress = need(ended);
  if (progress.state !== 'done') {
    throw new CommandFailure(progress.error?.message ?? `The export was ${progress.state}.`, 1);
  }
  const files = need(jobs.files(job)).slice(0, progress.files.length);
  makeFolder(folder);
  return files.map(({ name, bytes }) => {
    const path = join(folder, name);
    write(path, bytes);
    return { name, path, bytes: bytes.byteLength };
  });
}

function say(answer: { ok: boolean; value?: ExportProgress }, io: Io): void {
  const progress = answer.value;
  if (progress?.state === 'running')
    io.err(`${progress.done} of ${progress.total}: ${progress.step}\n`);
}

function makeFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true });
  } catch (thrown) {
    throw new CommandFailure(
      `The folder ${folder} cannot be made (${detail(thrown)}); choose another.`,
      1,
    );
  }
}

function write(path: string, bytes: Uint8Array): void {
  try {
    writeFileSync(path, bytes);
  } catch (thrown) {
    throw new CommandFailure(
      `${path} cannot be written (${detail(thrown)}); choose another folder.`,
      1,
    );
  }
}

function detail(thrown: unknown): string {
  return (thrown as NodeJS.ErrnoException).code ?? String(thrown);
}
