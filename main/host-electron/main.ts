import { join } from 'node:path';
import process from 'node:process';
import { parseArgs } from 'node:util';
import { app, BrowserWindow, dialog, ipcMain, Menu, protocol, session } from 'electron';
import { type App, openApp } from '../app/app.ts';
import { failure, fromLibrary } from '../app/failures.ts';
import { defaultLibraryFile, thisMachine } from '../library/location.ts';
import { type HostLock, lockForHost } from '../library/lock.ts';
import { projectRoot } from '../setup/project-root.ts';
import { guardContents, guardSession, throttleInSilence } from './guards.ts';
import { registerContract } from './ipc.ts';
import { menuTemplate } from './menu.ts';
import { HOME, SCHEME } from './origin.ts';
import { saveFiles } from './save-files.ts';
import { answerWindow, OUR_SCHEME } from './scheme.ts';
import { windowOptions } from './window.ts';

/** What the running program holds. */
interface Running {
  readonly app: App;
  readonly lock: HostLock;
  window: BrowserWindow | null;
}

// Before anything is opened: a second start only brings the first to the front.
if (app.requestSingleInstanceLock()) start();
else app.quit();

function start(): void {
  app.enableSandbox();
  protocol.registerSchemesAsPrivileged([OUR_SCHEME]);
  app.on('web-contents-created', (_event, contents) => {
    guardContents(contents);
    throttleInSilence(contents);
  });
  app.on('window-all-closed', () => app.quit());
  app.whenReady().then(open).catch(giveUp);
}

async function open(): Promise<void> {
  const libraryFile = libraryArgument();
  const lock = lockForHost(libraryFile);
  if (!lock.ok) return giveUp(fromLibrary(lock.error).message);
  let running: Running | null = null;
  const opened = await openApp({
    host: 'electron',
    libraryFile,
    sample: true,
    log,
    deliver: async (files) =>
      running?.window
        ? saveFiles(dialog, running.window, files)
        : failure('export/dismissed', 'The window is closed; open it and save again.'),
  });
  if (!opened.ok) return giveUp(opened.error.message);
  running = { app: opened.value, lock: lock.value, window: null };
  guardSession(session.defaultSession);
  protocol.handle(SCHEME, (request) => answerWindow(request));
  registerContract(ipcMain, running.app.handlers, log);
  Menu.setApplicationMenu(Menu.buildFromTemplate(menuTemplate(process.platform)));
  closeOnQuit(running);
  await showWindow(running);
  const backup = await running.app.context.library.backUpDaily();
  if (!backup.ok) log(fromLibrary(backup.error).message);
}

async function showWindow(running: Running): Promise<void> {
  const preload = join(projectRoot(), 'build', 'main', 'preload.cjs');
  const window = new BrowserWindow(windowOptions(preload));
  running.window = window;
  window.once('ready-to-show', () => window.show());
  window.on('closed', () => {
    running.window = null;
  });
  // The page holds nothing that is not in the library: it can be shown again from there.
  window.webContents.on('render-process-gone', (_event, { reason }) => {
    log(`window: ${reason}`);
    if (reason !== 'clean-exit' && !window.isDestroyed()) window.reload();
  });
  app.on('second-instance', () => {
    if (window.isDestroyed()) return;
    if (window.isMinimized()) window.restore();
    window.focus();
  });
  await window.loadURL(HOME);
}

/** Holds quitting back until everything is written and the library let go of. */
function closeOnQuit(running: Running): void {
  let closed = false;
  app.on('before-quit', (event) => {
    if (closed) return;
    event.preventDefault();
    running.app
      .close()
      .catch((thrown: unknown) => log(String(thrown)))
      .finally(() => {
        closed = true;
        running.lock.release();
        app.quit();
      });
  });
}

/** `--library FILE`; Chromium's own switches among the arguments are not ours to judge. */
function libraryArgument(): string {
  const { values } = parseArgs({ options: { library: { type: 'string' } }, strict: false });
  const { library } = values;
  return typeof library === 'string' ? library : defaultLibraryFile(thisMachine());
}

function giveUp(reason: unknown): void {
  const words = reason instanceof Error ? (reason.stack ?? reason.message) : String(reason);
  log(words);
  dialog.showErrorBox('Changewright cannot open', words);
  app.exit(1);
}

function log(line: string): void {
  process.stderr.write(`${line}\n`);
}
