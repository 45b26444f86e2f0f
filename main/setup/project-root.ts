import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/**
 * The folder that holds package.json: the checkout, or the installed program's archive.
 * Anything read from disk that ships with the program is found from here, because a source file and
 * the built file it ends up in lie at different depths.
 *
 * @returns an absolute path
 * @throws Error when no folder above holds a package.json: the program was taken apart
 * @example join(projectRoot(), 'sample-library')
 */
export function projectRoot(): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  while (!existsSync(join(folder, 'package.json'))) {
    const above = dirname(folder);
    if (above === folder)
      throw new Error('No package.json above this file; reinstall the program.');
    folder = above;
  }
  return folder;
}
