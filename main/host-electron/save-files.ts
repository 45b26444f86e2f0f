import { link, rename, rm, writeFile } from 'node:fs/promises';
import { basename, extname, join } from 'node:path';
import type { BrowserWindow, Dialog } from 'electron';
import type { Answer } from '../../shared-core/contract/errors.ts';
import type { Delivery } from '../app/context.ts';
import { failure, success } from '../app/failures.ts';
import type { MadeFile } from '../app/files.ts';

/**
 * Asks for a folder and writes finished files into it. Nothing that lies there is written over: a name that
 * is taken gets a number. The window never learns the path, only the folder's name.
 * Errors: `export/dismissed`, `file/unwritable`.
 */
export async function saveFiles(
  dialog: Pick<Dialog, 'showOpenDialog'>,
  window: BrowserWindow,
  files: readonly MadeFile[],
): Promise<Answer<Delivery>> {
  const chosen = await dialog.showOpenDialog(window, {
    title: 'Save the charts into',
    buttonLabel: 'Save here',
    properties: ['openDirectory', 'createDirectory'],
  });
  const [folder] = chosen.filePaths;
  if (chosen.canceled || folder === undefined) {
    return failure('export/dismissed', 'No folder was chosen; the charts are still here to save.');
  }
  try {
    for (const file of files) await writeBeside(folder, file);
  } catch (thrown) {
    const detail = thrown instanceof Error ? thrown.message : String(thrown);
    const words = `${basename(folder)} cannot be written to; choose another folder.`;
    return failure('file/unwritable', words, { data: { detail } });
  }
  return success({ folder: basename(folder) });
}

/** Writes a whole file under a name that was free: written aside first, then given its name. */
async function writeBeside(folder: string, file: MadeFile): Promise<void> {
  const temporary = join(folder, `.${file.name}.part`);
  await writeFile(temporary, file.bytes);
  const ending = extname(file.name);
  const stem = file.name.slice(0, file.name.length - ending.length);
  try {
    for (let count = 1; ; count++) {
      const name = count === 1 ? file.name : `${stem} (${count})${ending}`;
      if (await takeName(temporary, join(folder, name))) return;
    }
  } finally {
    await rm(temporary, { force: true });
  }
}

/** Gives a written file its name unless the name is taken; answers whether it was free. */
async function takeName(temporary: string, target: string): Promise<boolean> {
  try {
    // A link fails where the name exists; a rename would write over it.
    await link(temporary, target);
    return true;
  } catch (thrown) {
    const code = thrown instanceof Error && 'code' in thrown ? thrown.code : null;
    if (code === 'EEXIST') return false;
    if (code !== 'EPERM' && code !== 'ENOTSUP' && code !== 'EOPNOTSUPP') throw thrown;
  }
  // File systems without links, such as those of memory sticks: reserve the name, then move.
  try {
    await writeFile(target, '', { flag: 'wx' });
  } catch (thrown) {
    if (thrown instanceof Error && 'code' in thrown && thrown.code === 'EEXIST') return false;
    throw thrown;
  }
  await rename(temporary, target);
  return true;
}
