import type { Answer } from '../../shared-core/contract/errors.ts';
import type { AppContext } from './context.ts';
import { success } from './failures.ts';
import { type MadeFile, MEDIA_TYPES } from './files.ts';

/** Hands all files of a finished job to the person, in the host's way. */
export async function saveAll(
  context: AppContext,
  job: string,
): Promise<Answer<{ readonly files: number; readonly handle?: string; readonly folder?: string }>> {
  const files = context.jobs.files(job);
  if (!files.ok) return files;
  const delivered = await context.deliver(files.value);
  if (!delivered.ok) return delivered;
  const count = files.value.length;
  if (delivered.value.folder !== undefined) {
    return success({ files: count, folder: delivered.value.folder });
  }
  if (!delivered.value.archive) return success({ files: count });
  const handle = context.jobs.keep(job, await archiveOf(files.value));
  return handle.ok ? success({ files: count, handle: handle.value }) : handle;
}

async function archiveOf(files: readonly MadeFile[]): Promise<MadeFile> {
  const { zipSync } = await import('fflate');
  const entries = Object.fromEntries(files.map((file) => [file.name, file.bytes]));
  return { name: 'Charts.zip', type: MEDIA_TYPES.zip, bytes: zipSync(entries, { level: 6 }) };
}
