/**
 * `npm start`: opens the program from the checkout. In Electron where its program is there, else in a
 * window of the machine's Chromium over 127.0.0.1, else it prints the address to open.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import process from 'node:process';
import { buildProgram, buildWindow } from './build.mjs';
import {
  findChromium,
  findElectron,
  hasScreen,
  inRoot,
  onPinnedNode,
  PINNED_NODE,
  passSignalsOn,
  run,
  say,
  startAgainOnPinnedNode,
  toolEnvironment,
} from './environment.mjs';
import { ensureElectronTried, ensureInstalled } from './install.mjs';

/**
 * What the browser is told besides: a window as large as Electron's, no questions, and no errands of its own.
 * As root, which containers often are, its sandbox does not start, and it would say so across the window.
 */
const BROWSER_OPTIONS = [
  '--window-size=1280,800',
  '--no-first-run',
  '--no-default-browser-check',
  '--disable-sync',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-features=Translate',
  '--password-store=basic',
  ...(process.getuid?.() === 0 ? ['--no-sandbox', '--test-type'] : []),
];

await ensureInstalled();
await ensureElectronTried();
if (!onPinnedNode()) await startAgainOnPinnedNode();
await buildWindow();

const args = process.argv.slice(2);
const electron = findElectron();
process.exit(
  electron !== undefined && hasScreen()
    ? await startElectron(electron)
    : await startLoopback(electron === undefined),
);

/** @param {string} electron its program */
async function startElectron(electron) {
  await buildProgram('preload');
  await buildProgram('electron');
  // The folder, not the file: package.json there tells Electron what it runs.
  return run(electron, [inRoot('.'), ...args]);
}

/**
 * Starts the host on 127.0.0.1 and shows it. The host prints its address as a line of its own on stdout when
 * it is ready, and ends when its stdin closes. An address carries a code that opens one window, once, so that
 * nobody gains by reading it in the browser's command line; when it was used the host prints the next.
 * @param {boolean} electronMissing
 */
async function startLoopback(electronMissing) {
  const browser = hasScreen() ? findChromium() : undefined;
  const reason = electronMissing
    ? "Electron's program is not installed here"
    : 'There is no screen here';
  const where =
    browser === undefined
      ? 'open the address below in a browser (each address opens once; the next is printed then)'
      : 'opening a browser window';
  say(`${reason}; serving the window on 127.0.0.1 instead: ${where}.`);
  const program = await buildProgram('loopback');
  const host = spawn(PINNED_NODE, [inRoot(program), ...args], {
    env: toolEnvironment(),
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  const stop = passSignalsOn(host);
  const ended = new Promise((resolve) => host.once('close', (code) => resolve(code ?? 1)));
  const address = await firstAddress(host.stdout);
  if (address !== undefined && browser !== undefined) {
    await openAppWindow(browser, address, ended);
    host.stdin.end();
  }
  const code = await ended;
  stop();
  return /** @type {number} */ (code);
}

/**
 * Passes the host's lines through until one is an address.
 * @param {import('node:stream').Readable} output
 * @returns {Promise<string | undefined>} nothing when the host ended without giving one
 */
function firstAddress(output) {
  return new Promise((resolve) => {
    let text = '';
    output.setEncoding('utf8');
    output.on('data', (/** @type {string} */ piece) => {
      process.stdout.write(piece);
      text += piece;
      const found = /^(http:\/\/127\.0\.0\.1:\S+)\r?\n/m.exec(text);
      if (found !== null) resolve(found[1]);
    });
    output.once('close', () => resolve(undefined));
  });
}

/**
 * Opens a window without tabs or address bar, with a profile of its own that goes with it.
 * @param {string} browser
 * @param {string} address
 * @param {Promise<unknown>} hostEnded closes the window too: without its host it could keep nothing
 * @returns {Promise<void>} when the window was closed
 */
async function openAppWindow(browser, address, hostEnded) {
  const profile = mkdtempSync(path.join(tmpdir(), 'changewright-window-'));
  const window = spawn(
    browser,
    [`--app=${address}`, `--user-data-dir=${profile}`, ...BROWSER_OPTIONS],
    { stdio: 'ignore' },
  );
  const stop = passSignalsOn(window);
  hostEnded.then(() => window.kill());
  const started = await new Promise((resolve) => {
    window.once('error', () => resolve(false));
    window.once('close', () => resolve(true));
  });
  if (!started) {
    say(`${browser} could not be started; open the address above in a browser yourself.`);
    await hostEnded;
  }
  stop();
  // Processes of the browser may still be writing as they end.
  rmSync(profile, { recursive: true, force: true, maxRetries: 10, retryDelay: 100 });
}
