import type { Answer, ContractError } from '../../shared-core/contract/errors.ts';
import type { FailedImport, ImportedTune } from '../../shared-core/contract/types.ts';
import { ok } from '../../shared-core/result.ts';
import type { AppContext } from './context.ts';
import { answerOf, asContract, success } from './failures.ts';
import { entryOf, type KnownTune, knowTune, remarksOn, understandTune } from './tune-text.ts';

/** A file to import. */
export interface ImportFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** Keeps a tune, new or in place of the one with `id`. Refuses text with mistakes. */
export function saveTune(
  context: AppContext,
  id: string | null,
  text: string,
): Answer<{ readonly id: string; readonly warnings: string[] }> {
  const known = knowTune(text);
  if (!known.ok) return known;
  const entry = entryOf(known.value);
  if (id === null) {
    const [made = ''] = context.library.tunes.add([entry]);
    return success({ id: made, warnings: [...remarksOn(known.value)] });
  }
  const warnings = [...remarksOn(known.value), ...formRemarks(context, id, known.value)];
  const done = answerOf(context.library.tunes.replace(id, entry));
  return done.ok ? success({ id, warnings }) : done;
}

/** Arrangements whose choruses are no longer as long as they were keep their changes at their old places. */
function formRemarks(context: AppContext, id: string, now: KnownTune): readonly string[] {
  const text = context.library.tunes.text(id);
  if (!text.ok) return [];
  const before = knowTune(text.value);
  if (!before.ok) return [];
  if (before.value.analysis.chorus.length === now.analysis.chorus.length) return [];
  const names = context.library.arrangements.list(id, false).map((row) => row.name);
  return names.length === 0
    ? []
    : [`The form has another length now; look through ${names.join(', ')}.`];
}

/**
 * Takes in files one by one: each wholly or not at all, the good ones whatever the others are.
 */
export async function importFiles(
  context: AppContext,
  files: readonly ImportFile[],
  signal?: AbortSignal,
): Promise<{ readonly imported: ImportedTune[]; readonly failed: FailedImport[] }> {
  const imported: ImportedTune[] = [];
  const failed: FailedImport[] = [];
  for (const file of files) {
    const taken = await importOne(context, file, signal);
    if (taken.ok) imported.push(...taken.value);
    else failed.push({ file: file.name, error: taken.error });
  }
  return { imported, failed };
}

async function importOne(
  context: AppContext,
  file: ImportFile,
  signal?: AbortSignal,
): Promise<Answer<readonly ImportedTune[]>> {
  const read = await readFileTunes(context.works, file, signal);
  if (!read.ok) return read;
  const kept = context.library.transact<readonly ImportedTune[], ContractError>(() =>
    ok(
      read.value.tunes.map((known) => ({
        id: context.library.tunes.insert(entryOf(known)),
        file: file.name,
        title: known.tune.title,
        warnings: [...read.value.warnings, ...remarksOn(known)],
      })),
    ),
  );
  return kept.ok ? kept : { ok: false, error: asContract(kept.error) };
}

/** The tunes of a file in any format we read, understood. Nothing is kept. */
export async function readFileTunes(
  loadWorks: AppContext['works'],
  file: ImportFile,
  signal?: AbortSignal,
): Promise<Answer<{ readonly tunes: readonly KnownTune[]; readonly warnings: readonly string[] }>> {
  const works = await loadWorks();
  const read = await works.readTunes(file.name, file.bytes, signal);
  if (!read.ok) return read;
  const tunes: KnownTune[] = [];
  for (const tune of read.value.tunes) {
    const known = understandTune(tune);
    if (!known.ok) return inFile(file.name, known.error);
    tunes.push(known.value);
  }
  return success({ tunes, warnings: read.value.warnings });
}

function inFile(file: string, error: ContractError): Answer<never> {
  return { ok: false, error: { ...error, place: { ...error.place, file } } };
}
