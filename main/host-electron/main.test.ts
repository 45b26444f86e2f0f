import { EventEmitter } from 'node:events';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import process from 'node:process';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { METHOD_NAMES } from '../../shared-core/contract/methods.ts';
import { lockForHost } from '../library/lock.ts';
import { testFolder } from '../library/test-library.ts';
import { projectRoot } from '../setup/project-root.ts';
import { channelOf } from './channels.ts';
import { HOME } from './origin.ts';

/**
 * A recorded double of Electron: every call is written down in order, and what Electron would send is sent
 * by hand. Names, arguments and the order of events are those of Electron's documentation (api/app,
 * api/browser-window, api/protocol).
 */
class Contents extends EventEmitter {
  readonly mainFrame = { url: HOME };
  setWindowOpenHandler = vi.fn();
  setBackgroundThrottling = vi.fn();
}

class Double {
  readonly calls: string[] = [];
  readonly handlers = new Map<string, (event: unknown, request: unknown) => Promise<unknown>>();
  readonly paths = new Map<string, string>();
  readonly windows: Window[] = [];
  readonly switches = new Set<string>();
  first = true;
  told: unknown;
  exitCode: number | null = null;
  errorBox: string[] = [];
  messages: string[] = [];
  /** Button a question is answered with. */
  answer = 0;
  ready: () => void = () => undefined;
  readonly #whenReady = new Promise<void>((resolve) => {
    this.ready = resolve;
  });

  note<T>(name: string, value?: T): T {
    this.calls.push(name);
    return value as T;
  }

  readonly app = Object.assign(new EventEmitter(), {
    commandLine: { hasSwitch: (name: string) => this.switches.has(name) },
    setName: (name: string) => this.note(`setName ${name}`),
    setPath: (name: string, path: string) => void this.paths.set(name, path),
    requestSingleInstanceLock: (told: unknown) => {
      this.told = told;
      return this.note('lock', this.first);
    },
    enableSandbox: () => this.note('enableSandbox'),
    whenReady: () => this.#whenReady,
    quit: () => {
      const preventDefault = vi.fn();
      this.app.emit('before-quit', { preventDefault });
      this.note(preventDefault.mock.calls.length > 0 ? 'quit held back' : 'quit');
    },
    exit: (code: number) => {
      this.exitCode = code;
    },
  });

  module() {
    const double = this;
    return {
      app: this.app,
      BrowserWindow: class extends Window {
        constructor(options: unknown) {
          super(options);
          double.windows.push(this);
          double.note('window');
          double.app.emit('web-contents-created', {}, this.webContents);
        }
      },
      dialog: {
        showErrorBox: (_title: string, words: string) => void this.errorBox.push(words),
        showMessageBoxSync: (_window: unknown, { message }: { message: string }) => {
          this.messages.push(message);
          return this.answer;
        },
        showMessageBox: async (_window: unknown, { message }: { message: string }) =>
          void this.messages.push(message),
        showOpenDialog: vi.fn(),
      },
      ipcMain: {
        handle: (channel: string, listener: never) => void this.handlers.set(channel, listener),
      },
      Menu: {
        buildFromTemplate: (template: unknown) => template,
        setApplicationMenu: () => this.note('menu'),
      },
      protocol: {
        registerSchemesAsPrivileged: ([{ scheme }]: [{ scheme: string }]) =>
          this.note(`privileged ${scheme}`),
        handle: (scheme: string) => this.note(`handle ${scheme}`),
      },
      session: {
        defaultSession: {
          setPermissionRequestHandler: () => this.note('permission request'),
          setPermissionCheckHandler: () => this.note('permission check'),
          setDevicePermissionHandler: () => this.note('device permission'),
          webRequest: { onBeforeRequest: () => this.note('request filter') },
        },
      },
    };
  }
}

class Window extends EventEmitter {
  readonly webContents = new Contents();
  readonly loaded: string[] = [];
  minimized = false;
  show = vi.fn();
  focus = vi.fn();
  reload = vi.fn();
  restore = vi.fn();
  readonly options: unknown;

  constructor(options: unknown) {
    super();
    this.options = options;
  }

  isMinimized = () => this.minimized;
  isDestroyed = () => false;
  loadURL = async (address: string) => void this.loaded.push(address);
}

let folder: ReturnType<typeof testFolder>;
let library: string;
let double: Double;
const { argv } = process;
let written: string[];

beforeEach(() => {
  folder = testFolder();
  library = join(folder.path, 'band.changewright');
  double = new Double();
  written = [];
  vi.spyOn(process.stderr, 'write').mockImplementation((line) => {
    written.push(String(line));
    return true;
  });
  vi.resetModules();
  vi.doMock('electron', () => double.module());
});

afterEach(async () => {
  if (double.windows.length > 0) await quit();
  vi.doUnmock('electron');
  vi.restoreAllMocks();
  process.argv = argv;
  folder.remove();
});

/** Runs the program up to where it waits for Electron to be ready. */
async function load(...words: readonly string[]): Promise<void> {
  process.argv = ['/opt/changewright', ...words];
  await import('./main.ts');
}

/** Runs the program until its window has its page. */
async function run(): Promise<Window> {
  await load('--library', library);
  double.ready();
  await vi.waitFor(() => expect(double.windows[0]?.loaded).toEqual([HOME]), 10_000);
  return double.windows[0] as Window;
}

async function quit(): Promise<void> {
  double.app.quit();
  await vi.waitFor(() => expect(double.calls).toContain('quit'), 10_000);
}

/** Asks the contract as our page would. */
function ask(method: (typeof METHOD_NAMES)[number], request: unknown) {
  const sender = double.windows[0]?.webContents;
  return double.handlers.get(channelOf(method))?.(
    { sender, senderFrame: sender?.mainFrame },
    request,
  );
}

it('everything that has to come before Electron is ready does', async () => {
  await load('--library', library);
  expect(double.calls).toEqual(['setName Changewright', 'lock', 'enableSandbox', 'privileged app']);
  expect(existsSync(library)).toBe(false);
});

it('no page is loaded before the session, the scheme and the contract are guarded', async () => {
  const window = await run();
  const before = double.calls.slice(0, double.calls.indexOf('window'));
  expect(before).toEqual(
    expect.arrayContaining([
      'permission request',
      'permission check',
      'device permission',
      'request filter',
      'handle app',
    ]),
  );
  expect([...double.handlers.keys()].sort()).toEqual(METHOD_NAMES.map(channelOf).sort());
  expect(window.options).toMatchObject({
    show: false,
    webPreferences: {
      preload: join(projectRoot(), 'build', 'main', 'preload.cjs'),
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
    },
  });
});

it('every page there ever is goes nowhere and opens nothing', async () => {
  const { webContents } = await run();
  for (const name of ['will-navigate', 'will-redirect', 'will-attach-webview']) {
    const preventDefault = vi.fn();
    webContents.emit(name, { preventDefault });
    expect(preventDefault, name).toHaveBeenCalledOnce();
  }
  const [opener] = webContents.setWindowOpenHandler.mock.calls[0] ?? [];
  expect(opener({ url: 'https://example.org/' })).toEqual({ action: 'deny' });
});

it('the sample library is there at the first start, and the contract says which host this is', async () => {
  await run();
  expect(await ask('app.info', {})).toMatchObject({ ok: true, value: { host: 'electron' } });
  const { value } = (await ask('tunes.list', {})) as { value: { tunes: unknown[] } };
  expect(value.tunes.length).toBeGreaterThanOrEqual(14);
});

it('quitting is held back until the library is closed and another may open it', async () => {
  await run();
  double.app.emit('window-all-closed');
  expect(double.calls.slice(-1)).toEqual(['quit held back']);
  expect(lockForHost(library)).toMatchObject({ ok: false, error: { code: 'library/in-use' } });
  await vi.waitFor(() => expect(double.calls).toContain('quit'), 10_000);
  const lock = lockForHost(library);
  expect([lock.ok, existsSync(`${library}-wal`)]).toEqual([true, false]);
  if (lock.ok) lock.value.release();
  expect(written).toEqual([]);
});

it('a second start opens nothing, says so, and brings the first to the front', async () => {
  double.first = false;
  await load('--library', library);
  double.ready();
  expect(double.calls).toEqual(['setName Changewright', 'lock', 'quit']);
  expect([double.told, existsSync(library)]).toEqual([{ libraryFile: library }, false]);
  expect(written.join('')).toMatch(/^Changewright is open already/u);
});

it('the first comes to the front, and says when the second wanted another library', async () => {
  const window = await run();
  window.minimized = true;
  double.app.emit('second-instance', {}, [], '/', { libraryFile: library });
  expect(window.restore).toHaveBeenCalledOnce();
  expect([window.focus.mock.calls.length, double.messages]).toEqual([1, []]);
  double.app.emit('second-instance', {}, [], '/', { libraryFile: '/other.changewright' });
  expect(double.messages).toEqual([
    'band.changewright is open; close it before you open other.changewright.',
  ]);
});

it('a page that dies is shown again, but not for ever', async () => {
  const window = await run();
  for (let time = 1; time <= 3; time++) {
    window.webContents.emit('render-process-gone', {}, { reason: 'crashed' });
  }
  expect([window.reload.mock.calls.length, double.exitCode]).toEqual([3, null]);
  window.webContents.emit('render-process-gone', {}, { reason: 'crashed' });
  expect([window.reload.mock.calls.length, double.exitCode]).toEqual([3, 1]);
  expect(double.errorBox.join('')).toContain('nothing in the library is lost');
});

it('a window with a decision that is not kept asks before it closes', async () => {
  const window = await run();
  const leave = vi.fn();
  window.webContents.emit('will-prevent-unload', { preventDefault: leave });
  expect([double.messages.at(-1), leave.mock.calls.length]).toEqual([
    'Something you decided is not kept yet.',
    0,
  ]);
  double.answer = 1;
  window.webContents.emit('will-prevent-unload', { preventDefault: leave });
  expect(leave).toHaveBeenCalledOnce();
});

it('a library that another window holds is one sentence and an end', async () => {
  const held = lockForHost(library);
  await load('--library', library);
  double.ready();
  await vi.waitFor(() => expect(double.exitCode).toBe(1));
  expect(double.errorBox).toEqual([expect.stringContaining('already open in another window')]);
  expect(double.windows).toEqual([]);
  if (held.ok) held.value.release();
});

it('what the browser keeps lies apart from the library, unless a place is named', async () => {
  await load('--library', library);
  expect(double.paths.get('userData')).toMatch(/changewright[\\/]window$/iu);
  vi.resetModules();
  const named = new Double();
  named.switches.add('user-data-dir');
  vi.doMock('electron', () => named.module());
  await load('--library', library);
  expect([named.calls[0], named.paths.size]).toEqual(['setName Changewright', 0]);
});
