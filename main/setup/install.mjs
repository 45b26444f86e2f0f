/** Brings node_modules in line with the lock file, and only when it is not. */
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import process from 'node:process';
import { findElectron, inRoot, PINNED_NODE, run, say } from './environment.mjs';

/** Written inside node_modules, so that deleting that folder deletes it too. */
const STAMP = inRoot('node_modules/.installed-from');

/** What the installed packages depend on: the lock file, and npm's own settings. */
function wanted() {
  const hash = createHash('sha256');
  for (const file of ['package-lock.json', '.npmrc']) hash.update(readFileSync(inRoot(file)));
  return `${hash.digest('hex')} ${process.platform}-${process.arch}`;
}

/** @returns {boolean} whether the packages installed are those of the lock file */
export function isInstalled() {
  if (!existsSync(PINNED_NODE)) return false;
  if (existsSync(STAMP) && readFileSync(STAMP, 'utf8') === wanted()) return true;
  return installedByHand();
}

/**
 * A plain `npm ci` or `npm install` leaves no stamp of ours. npm keeps its own record of what it
 * installed; where that names the same versions as the lock file, the stamp is caught up on.
 */
function installedByHand() {
  const record = inRoot('node_modules/.package-lock.json');
  if (!existsSync(record)) return false;
  const have = JSON.parse(readFileSync(record, 'utf8')).packages;
  const want = JSON.parse(readFileSync(inRoot('package-lock.json'), 'utf8')).packages;
  if (!isSameSet(have, want)) return false;
  writeFileSync(STAMP, wanted());
  return true;
}

/** @typedef {Record<string, {version?: string, optional?: boolean}>} Packages places and versions */

/**
 * @param {Packages} have what npm recorded it installed
 * @param {Packages} want what the lock file asks for
 * @returns {boolean} whether nothing is missing or of another version; packages for other platforms
 *   are optional and may be missing
 */
export function isSameSet(have, want) {
  return Object.entries(want).every(
    ([place, { version, optional }]) =>
      place === '' || optional === true || have[place]?.version === version,
  );
}

/**
 * Installs the packages when they are missing or older than the lock file.
 * @returns {Promise<void>} ends the process with npm's exit code when npm fails
 */
export async function ensureInstalled() {
  if (isInstalled()) return;
  say('Installing the packages of package-lock.json (about a minute, once)...');
  const npm = process.platform === 'win32' ? 'npm.cmd' : 'npm';
  const shell = process.platform === 'win32';
  // npm warns that the machine's Node is older than some packages ask for; they run on the pinned one.
  // What npm says goes to stderr: stdout belongs to the command that was asked for.
  const code = await run(npm, ['ci', '--no-audit', '--no-fund', '--loglevel=error'], {
    shell,
    stdio: ['inherit', 2, 2],
  });
  if (code !== 0) {
    say('The packages could not be installed; npm says why above. Nothing else was done.');
    process.exit(code);
  }
  writeFileSync(STAMP, wanted());
}

/**
 * Fetches Electron's program once for every installed set of packages. Electron's package does not
 * bring it along; it comes from a download server that may be out of reach.
 * @returns {Promise<void>}
 */
export async function ensureElectronTried() {
  const tried = inRoot('node_modules/.electron-tried');
  if (findElectron() !== undefined) return;
  if (existsSync(tried) && readFileSync(tried, 'utf8') === wanted()) return;
  say("Fetching Electron's program (once)...");
  const code = await run(PINNED_NODE, [inRoot('node_modules/electron/install.js')], {
    stdio: 'ignore',
    timeout: 300_000,
  });
  if (code !== 0)
    say("Electron's download server could not be reached; it will not be asked again.");
  writeFileSync(tried, wanted());
}
