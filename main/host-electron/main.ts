import { basename, join } from 'node:path';
import process from 'node:process';
import { app, BrowserWindow, dialog, ipcMain, Menu, protocol, session } from 'electron';
import { type App, openApp } from '../app/app.ts';
import { backUpToday } from '../app/daily-backup.ts';
import { failure, fromLibrary } from '../app/failures.ts';
import { dataFolder, defaultLibraryFile, thisMachine } from '../library/location.ts';
import { type HostLock, lockForHost } from '../library/lock.ts';
import { projectRoot } from '../setup/project-root.ts';
import { libraryArgument } from './arguments.ts';
import { guardContents, guardSession, throttleInSilence } from './guards.ts';
import { registerContract } from './ipc.ts';
import { menuTemplate } from './menu.ts';
import { HOME, SCHEME } from './origin.ts';
import { saveFiles } from './save-files.ts';
import { answerWindow, OUR_SCHEME } from './scheme.ts';
import { windowOptions } from './window.ts';

/** How often a page that died is shown again before the program gives up. */
const RELOADS = 3;

/** What the running program holds. */
interface Running {
  readonly app: App;
  readonly lock: HostLock;
  /** The day's backup, which may still be being made. */
  readonly backup: Promise<void>;
  window: BrowserWindow | null;
}

/** What a second start tells the first. */
interface SecondStart {
  readonly libraryFile: string;
}

start();

function start(): void {
  nameProgram();
  const named = libraryArgument(process.argv);
  if (!named.ok) {
    giveUp(named.error);
    return;
  }
  const libraryFile = named.value ?? defaultLibraryFile(thisMachine());
  // Before anything is opened: a second start only brings the first to the front.
  if (app.requestSingleInstanceLock({ libraryFile } satisfies SecondStart)) {
    setUp(libraryFile);
    return;
  }
  log('Changewright is open already; its window was brought to the front.');
  app.quit();
}

/** What has to be settled before Electron is ready. */
function setUp(libraryFile: string): void {
  app.enableSandbox();
  protocol.registerSchemesAsPrivileged([OUR_SCHEME]);
  app.on('web-contents-created', (_event, contents) => {
    guardContents(contents);
    throttleInSilence(contents);
  });
  app.on('window-all-closed', () => app.quit());
  app
    .whenReady()
    .then(() => open(libraryFile))
    .catch(giveUp);
}

/**
 * Gives the program its own name and place for what the browser below keeps. Run from a checkout it would
 * share both, and the one lock that hangs on the place, with every other program run that way. Apart from
 * the library, so that whoever clears a browser's caches loses no tune.
 */
function nameProgram(): void {
  app.setName('Changewright');
  if (app.commandLine.hasSwitch('user-data-dir')) return;
  app.setPath('userData', join(dataFolder(thisMachine()), 'window'));
}

async function open(libraryFile: string): Promise<void> {
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
  const backup = backUpToday(opened.value.context.library, log);
  running = { app: opened.value, lock: lock.value, backup, window: null };
  guardSession(session.defaultSession);
  protocol.handle(SCHEME, (request) => answerWindow(request));
  registerContract(ipcMain, running.app.handlers, log);
  Menu.setApplicationMenu(Menu.buildFromTemplate(menuTemplate(process.platform)));
  closeOnQuit(running);
  await showWindow(running, libraryFile);
}

async function showWindow(running: Running, libraryFile: string): Promise<void> {
  const preload = join(projectRoot(), 'build', 'main', 'preload.cjs');
  const window = new BrowserWindow(windowOptions(preload));
  running.window = window;
  window.once('ready-to-show', () => window.show());
  window.on('closed', () => {
    running.window = null;
  });
  showAgainWhenGone(window);
  askBeforeClosing(window);
  app.on('second-instance', (_event, _argv, _folder, told) => {
    if (running.window) comeToFront(running.window, libraryFile, told as SecondStart | undefined);
  });
  await window.loadURL(HOME);
}

/** A page that asks to stay open (a decision is not kept yet) would hold the window without a word: ask. */
function askBeforeClosing(window: BrowserWindow): void {
  window.webContents.on('will-prevent-unload', (event) => {
    const answer = dialog.showMessageBoxSync(window, {
      type: 'question',
      message: 'Something you decided is not kept yet.',
      detail:
        'Another program is holding the library. Stay, and it is kept as soon as that lets go.',
      buttons: ['Stay', 'Close all the same'],
      defaultId: 0,
      cancelId: 0,
    });
    if (answer === 1) event.preventDefault();
  });
}

/** The page holds nothing that is not in the library: it can be shown again from there. */
function showAgainWhenGone(window: BrowserWindow): void {
  let reloads = 0;
  window.webContents.on('render-process-gone', (_event, { reason }) => {
    log(`window: ${reason}`);
    if (reason === 'clean-exit' || window.isDestroyed()) return;
    reloads += 1;
    if (reloads <= RELOADS) window.reload();
    else giveUp(`The window ended ${reloads} times (${reason}); nothing in the library is lost.`);
  });
}

function comeToFront(window: BrowserWindow, libraryFile: string, told?: SecondStart): void {
  if (window.isMinimized()) window.restore();
  window.focus();
  const wanted = told?.libraryFile ?? libraryFile;
  if (wanted === libraryFile) return;
  const message = `${basename(libraryFile)} is open; close it before you open ${basename(wanted)}.`;
  dialog.showMessageBox(window, { type: 'info', message }).catch(giveUp);
}

/** Holds quitting back until everything is written and the library let go of. */
function closeOnQuit(running: Running): void {
  let closing = false;
  let closed = false;
  app.on('before-quit', (event) => {
    if (closed) return;
    event.preventDefault();
    if (closing) return;
    closing = true;
    running.backup
      .then(() => running.app.close())
      .catch((thrown: unknown) => log(String(thrown)))
      .finally(() => {
        closed = true;
        running.lock.release();
        app.quit();
      });
  });
}

function giveUp(reason: unknown): void {
  const words = reason instanceof Error ? (reason.stack ?? reason.message) : String(reason);
  log(words);
  dialog.showErrorBox('Changewright cannot go on', words);
  app.exit(1);
}

function log(line: string): void {
  process.stderr.write(`${line}\n`);
}
