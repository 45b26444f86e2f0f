/**
 * Tells whether what was built is still what the sources say. A stamp lists the files that went into
 * a build with the size and time of change of each; looking is one `stat` a file, no reading.
 */
import { mkdirSync, readdirSync, readFileSync, renameSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { inRoot } from './environment.mjs';

/** @typedef {Record<string, readonly [modified: number, size: number]>} Stamp */

/**
 * @param {string} file path from the top of the checkout
 * @returns {readonly [number, number] | undefined} nothing when there is no such file
 */
function mark(file) {
  const found = statSync(inRoot(file), { throwIfNoEntry: false });
  return found === undefined ? undefined : [found.mtimeMs, found.size];
}

/**
 * @param {readonly string[]} files paths from the top of the checkout
 * @returns {Stamp}
 */
export function takeStamp(files) {
  /** @type {Record<string, readonly [number, number]>} */
  const stamp = {};
  for (const file of files) {
    const seen = mark(file);
    if (seen !== undefined) stamp[file] = seen;
  }
  return stamp;
}

/**
 * @param {string} stampFile path from the top of the checkout
 * @returns {boolean} whether every file of that stamp is there, unchanged
 */
export function isFresh(stampFile) {
  const stamp = readStamp(stampFile);
  if (stamp === undefined) return false;
  return Object.entries(stamp).every(([file, [modified, size]]) => {
    const now = mark(file);
    return now !== undefined && now[0] === modified && now[1] === size;
  });
}

/**
 * @param {string} stampFile
 * @returns {Stamp | undefined} nothing when it was never written, or was cut short
 */
export function readStamp(stampFile) {
  try {
    return JSON.parse(readFileSync(inRoot(stampFile), 'utf8'));
  } catch (error) {
    // A stamp that cannot be read only means building again.
    if (error instanceof SyntaxError || /** @type {any} */ (error).code === 'ENOENT')
      return undefined;
    throw error;
  }
}

/**
 * Writes a file so that whoever reads it at that moment sees the old one or the new one, whole.
 * @param {string} file path from the top of the checkout
 * @param {string | Uint8Array} content
 */
export function writeWhole(file, content) {
  const target = inRoot(file);
  mkdirSync(path.dirname(target), { recursive: true });
  const temporary = `${target}.${process.pid}`;
  writeFileSync(temporary, content);
  renameSync(temporary, target);
}

/**
 * Lists the files of folders, tests left out.
 * @param {readonly string[]} folders paths from the top of the checkout
 * @returns {string[]} paths from the top of the checkout, in order
 */
export function listSources(folders) {
  const files = folders.flatMap((folder) =>
    readdirSync(inRoot(folder), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && !/\.test\.tsx?$/.test(entry.name))
      .map((entry) => path.relative(inRoot('.'), path.join(entry.parentPath, entry.name))),
  );
  return files.sort();
}
