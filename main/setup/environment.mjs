/**
 * Where things are and which Node runs them. Everything in this folder is plain JavaScript on Node's
 * own modules, because it has to run on a fresh clone, on the Node the machine happens to have.
 */
import { execFileSync, spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';

/** The checkout's top folder. */
export const ROOT = fileURLToPath(new URL('../../', import.meta.url));

/**
 * Turns a path of the checkout, written with forward slashes, into one of this machine.
 * @param {string} relative
 */
export function inRoot(relative) {
  return path.join(ROOT, relative);
}

/** The Node the project is pinned to; npm puts it there as a package of its own. */
export const PINNED_NODE = inRoot(
  process.platform === 'win32' ? 'node_modules/node/bin/node.exe' : 'node_modules/node/bin/node',
);

/** @returns {boolean} whether this very process already runs on the pinned version */
export function onPinnedNode() {
  return process.version === `v${readFileSync(inRoot('.node-version'), 'utf8').trim()}`;
}

/** The environment for child processes: the project's own tools, its Node first of all, on the path. */
export function toolEnvironment() {
  const bin = inRoot('node_modules/.bin');
  return { ...process.env, PATH: `${bin}${path.delimiter}${process.env.PATH ?? ''}` };
}

/**
 * Tells the person one thing, on stderr so that stdout stays free for what a command prints.
 * @param {string} sentence
 */
export function say(sentence) {
  process.stderr.write(`${sentence}\n`);
}

/**
 * Runs a program to its end with this terminal's input and output, passing signals on.
 * @param {string} command
 * @param {readonly string[]} args
 * @param {import('node:child_process').SpawnOptions} [options]
 * @returns {Promise<number>} its exit code; 1 when a signal ended it
 */
export function run(command, args, options = {}) {
  return new Promise((resolve, reject) => {
    const child = spawn(command, args, {
      cwd: ROOT,
      env: toolEnvironment(),
      stdio: 'inherit',
      ...options,
    });
    const stop = passSignalsOn(child);
    child.once('error', reject);
    child.once('close', (code) => {
      stop();
      resolve(code ?? 1);
    });
  });
}

/**
 * Hands the signals that end a program to a child, so that nothing is left running behind.
 * @param {import('node:child_process').ChildProcess} child
 * @returns {() => void} takes the handlers away again
 */
export function passSignalsOn(child) {
  const signals = /** @type {const} */ (['SIGINT', 'SIGTERM', 'SIGHUP']);
  const handlers = signals.map((signal) => {
    const handler = () => void child.kill(signal);
    process.on(signal, handler);
    return /** @type {const} */ ([signal, handler]);
  });
  return () => {
    for (const [signal, handler] of handlers) process.off(signal, handler);
  };
}

/**
 * Starts the running script again on the pinned Node and ends with its exit code.
 * Call it only where `onPinnedNode()` is false.
 * @returns {Promise<never>}
 */
export async function startAgainOnPinnedNode() {
  const code = await run(PINNED_NODE, process.argv.slice(1), { cwd: process.cwd() });
  process.exit(code);
}

/**
 * Looks a program up on the path.
 * @param {string} name
 * @returns {string | undefined} its full path
 */
export function findProgram(name) {
  const endings = process.platform === 'win32' ? ['.exe', '.cmd', ''] : [''];
  for (const folder of (process.env.PATH ?? '').split(path.delimiter)) {
    for (const ending of endings) {
      const candidate = path.join(folder, name + ending);
      if (folder !== '' && existsSync(candidate)) return candidate;
    }
  }
  return undefined;
}

/**
 * Finds a browser of the Chromium family. `CHROMIUM_PATH` overrides the search.
 * @returns {string | undefined}
 */
export function findChromium() {
  const named = process.env.CHROMIUM_PATH;
  if (named !== undefined && named !== '') return existsSync(named) ? named : undefined;
  const usual = [
    '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
    '/Applications/Chromium.app/Contents/MacOS/Chromium',
    'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
    'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
  ];
  const names = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome'];
  for (const name of names) {
    const found = findProgram(name);
    if (found !== undefined) return found;
  }
  return usual.find((file) => existsSync(file));
}

/**
 * Finds Electron's program, which its package fetches apart from npm and which may be missing.
 * @returns {string | undefined}
 */
export function findElectron() {
  const folder = process.env.ELECTRON_OVERRIDE_DIST_PATH ?? inRoot('node_modules/electron/dist');
  const names = {
    darwin: 'Electron.app/Contents/MacOS/Electron',
    win32: 'electron.exe',
  };
  const name =
    process.platform in names ? names[/** @type {'darwin'} */ (process.platform)] : 'electron';
  const file = path.join(folder, name);
  return existsSync(file) ? file : undefined;
}

/** @returns {boolean} whether windows can be opened here */
export function hasScreen() {
  if (process.platform !== 'linux') return true;
  return Boolean(process.env.DISPLAY || process.env.WAYLAND_DISPLAY);
}

/** @returns {boolean} whether Debian packages may be installed by this process */
export function mayInstallPackages() {
  return process.getuid?.() === 0 && findProgram('apt-get') !== undefined;
}

/**
 * Installs Debian packages, quietly.
 * @param {readonly string[]} packages
 * @returns {string | undefined} what went wrong, in apt's last words; nothing when it worked
 */
export function installPackages(packages) {
  const options = /** @type {import('node:child_process').ExecFileSyncOptions} */ ({
    stdio: ['ignore', 'ignore', 'pipe'],
    env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
  });
  const install = ['install', '-y', '-qq', '--no-install-recommends', ...packages];
  try {
    execFileSync('apt-get', ['update', '-qq'], options);
    execFileSync('apt-get', install, options);
    return undefined;
  } catch (error) {
    const words = /** @type {{stderr?: Buffer, message: string}} */ (error);
    const lines = (words.stderr?.toString() || words.message).trim().split('\n');
    return lines.at(-1) ?? 'apt-get gave no reason';
  }
}
