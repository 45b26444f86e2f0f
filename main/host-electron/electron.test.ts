import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type {
  BrowserWindow,
  IpcMainInvokeEvent,
  Session,
  WebContents,
  WebFrameMain,
} from 'electron';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { ContractHandlers } from '../../shared-core/contract/methods.ts';
import { METHOD_NAMES } from '../../shared-core/contract/methods.ts';
import { testFolder } from '../library/test-library.ts';
import { CHANNELS, channelOf } from './channels.ts';
import { guardContents, guardSession, throttleInSilence } from './guards.ts';
import { registerContract } from './ipc.ts';
import { menuTemplate } from './menu.ts';
import { HOME, isOurs } from './origin.ts';
import { saveFiles } from './save-files.ts';
import { answerWindow, OUR_SCHEME } from './scheme.ts';
import { windowOptions } from './window.ts';

let folder: ReturnType<typeof testFolder>;
beforeEach(() => {
  folder = testFolder();
});
afterEach(() => folder.remove());

describe('an address', () => {
  it.each(['app://changewright/', 'app://changewright/assets/x.js', 'app://changewright/#/tune'])(
    '%s is ours',
    (address) => expect(isOurs(address)).toBe(true),
  );

  it.each([
    'app://changewright.evil/',
    'app://evil/changewright',
    'app://user@changewright/',
    'file:///etc/passwd',
    'https://changewright/',
    'app:changewright',
    'about:blank',
    '',
  ])('%j is not', (address) => expect(isOurs(address)).toBe(false));
});

describe('the scheme', () => {
  it('has an origin, is secure, and can be fetched from', () => {
    expect(OUR_SCHEME.privileges).toEqual({
      standard: true,
      secure: true,
      supportFetchAPI: true,
      stream: true,
    });
  });

  it('serves the built window with its policy and nothing beside it', async () => {
    mkdirSync(join(folder.path, 'build', 'renderer'), { recursive: true });
    writeFileSync(join(folder.path, 'build', 'renderer', 'index.html'), '<p>');
    writeFileSync(join(folder.path, 'package.json'), '{}');
    const ask = (address: string, method = 'GET') =>
      answerWindow(new Request(address, { method }), folder.path);
    const page = await ask(HOME);
    expect([page.status, await page.text()]).toEqual([200, '<p>']);
    expect(page.headers.get('content-security-policy')).toContain("default-src 'none'");
    const statuses = [];
    for (const address of [
      'app://changewright/../package.json',
      'app://changewright/%2e%2e/%2e%2e/package.json',
      'app://changewright/..%2fpackage.json',
      'app://changewright/none.js',
      'app://evil/',
    ]) {
      statuses.push((await ask(address)).status);
    }
    expect(statuses).toEqual([404, 404, 404, 404, 403]);
    expect((await ask(HOME, 'POST')).status).toBe(405);
  });
});

describe('the bridge', () => {
  it('has one channel for every method of the contract, and no other', () => {
    expect([...CHANNELS].sort()).toEqual([...METHOD_NAMES].sort());
  });

  it('shows the page functions alone', async () => {
    const exposed: Record<string, Record<string, (request: unknown) => unknown>> = {};
    const invoke = vi.fn(async () => ({ ok: true }));
    vi.doMock('electron', () => ({
      contextBridge: {
        exposeInMainWorld: (name: string, api: (typeof exposed)[string]) => {
          exposed[name] = api;
        },
      },
      ipcRenderer: { invoke },
    }));
    await import('./preload.ts');
    vi.doUnmock('electron');
    expect(Object.keys(exposed)).toEqual(['changewright']);
    const bridge = exposed.changewright ?? {};
    expect(Object.keys(bridge).sort()).toEqual([...METHOD_NAMES].sort());
    await bridge['tunes.list']?.({ search: 'x' });
    expect(invoke.mock.calls).toEqual([['contract:tunes.list', { search: 'x' }]]);
  });
});

describe('a message', () => {
  type Listener = (event: IpcMainInvokeEvent, request: unknown) => Promise<unknown>;
  let channels: Map<string, Listener>;
  let asked: unknown[];

  beforeEach(() => {
    channels = new Map();
    asked = [];
    const handlers = {
      'tunes.list': async (request: unknown) => {
        asked.push(request);
        return { ok: true, value: { tunes: [] } };
      },
      'band.get': async () => {
        throw new Error('unforeseen');
      },
    } as unknown as ContractHandlers;
    const handle = (channel: string, listener: Listener) => channels.set(channel, listener);
    registerContract({ handle } as never, handlers, () => undefined);
  });

  /** An event from a frame; `top` says whether it is the top one of its window. */
  function from(url: string | null, top = true): IpcMainInvokeEvent {
    const frame = url === null ? null : ({ url } as WebFrameMain);
    const sender = { mainFrame: top ? frame : ({ url: HOME } as WebFrameMain) };
    return { senderFrame: frame, sender } as IpcMainInvokeEvent;
  }

  const send = (event: IpcMainInvokeEvent, request: unknown, method = 'tunes.list' as const) =>
    channels.get(channelOf(method))?.(event, request);

  it('from our page is answered', async () => {
    expect(await send(from(HOME), { search: 'x' })).toEqual({ ok: true, value: { tunes: [] } });
    expect(asked).toEqual([{ search: 'x' }]);
  });

  it.each([
    ['a page from elsewhere', from('https://evil.example/')],
    ['a page that looks like ours', from('app://changewright.evil/')],
    ['a frame inside our page', from(HOME, false)],
    ['a frame that is gone', from(null)],
  ])('from %s is refused', async (_what, event) => {
    expect(await send(event, {})).toMatchObject({ error: { code: 'contract/forbidden' } });
    expect(asked).toEqual([]);
  });

  it('that is not of the contract, too large or too deep is refused', async () => {
    let deep: unknown = {};
    for (let level = 0; level < 200; level++) deep = { deep };
    const codes = [];
    for (const request of [{ search: 3 }, 'x', { search: 'x'.repeat(70_000_000) }, deep]) {
      codes.push(((await send(from(HOME), request)) as { error: { code: string } }).error.code);
    }
    expect(codes).toEqual([
      'contract/request',
      'contract/request',
      'contract/too-large',
      'contract/too-large',
    ]);
    expect(asked).toEqual([]);
  });

  it('whose handling throws is answered with an error as a value', async () => {
    const answer = await channels.get('contract:band.get')?.(from(HOME), {});
    expect(answer).toMatchObject({ ok: false, error: { code: 'contract/internal' } });
  });
});

describe('the session', () => {
  it('gives no permission, no device, and lets no request out', () => {
    let request: ((...args: unknown[]) => void) | undefined;
    let check: (() => boolean) | undefined;
    let device: (() => boolean) | undefined;
    let before:
      | ((details: { url: string }, answer: (r: { cancel: boolean }) => void) => void)
      | undefined;
    guardSession({
      setPermissionRequestHandler: (handler: typeof request) => {
        request = handler;
      },
      setPermissionCheckHandler: (handler: typeof check) => {
        check = handler;
      },
      setDevicePermissionHandler: (handler: typeof device) => {
        device = handler;
      },
      webRequest: {
        onBeforeRequest: (handler: typeof before) => {
          before = handler;
        },
      },
    } as unknown as Session);
    const granted: unknown[] = [];
    request?.({}, 'media', (answer: unknown) => granted.push(answer));
    expect([granted, check?.(), device?.()]).toEqual([[false], false, false]);
    const cancelled = (url: string) => {
      let verdict = false;
      before?.({ url }, ({ cancel }) => {
        verdict = cancel;
      });
      return verdict;
    };
    expect(
      [
        HOME,
        'blob:app://changewright/1',
        'https://a.example/',
        'file:///etc/passwd',
        'blob:https://a.example/1',
        'ws://a.example',
      ].map(cancelled),
    ).toEqual([false, false, true, true, true, true]);
  });
});

describe('the window', () => {
  function contents() {
    const listeners = new Map<string, (event: never) => void>();
    const throttling: boolean[] = [];
    let opener: (() => { action: string }) | undefined;
    const double = {
      on: (name: string, listener: (event: never) => void) => listeners.set(name, listener),
      setWindowOpenHandler: (handler: typeof opener) => {
        opener = handler;
      },
      setBackgroundThrottling: (value: boolean) => throttling.push(value),
    } as unknown as WebContents;
    return { double, listeners, throttling, opener: () => opener?.() };
  }

  it.each(['will-navigate', 'will-redirect', 'will-attach-webview'])('prevents %s', (name) => {
    const page = contents();
    guardContents(page.double);
    const preventDefault = vi.fn();
    page.listeners.get(name)?.({ preventDefault } as never);
    expect(preventDefault).toHaveBeenCalledOnce();
    expect(page.opener()).toEqual({ action: 'deny' });
  });

  it('runs on in the background only while it sounds', () => {
    const page = contents();
    throttleInSilence(page.double);
    const listener = page.listeners.get('audio-state-changed');
    listener?.({ audible: true } as never);
    listener?.({ audible: false } as never);
    expect(page.throttling).toEqual([false, true]);
  });

  it('is apart from the machine in every way Electron offers', () => {
    expect(windowOptions('/preload.cjs').webPreferences).toMatchObject({
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webSecurity: true,
      webviewTag: false,
    });
  });

  it.each(['linux', 'darwin', 'win32'] as const)(
    'has a menu on %s that takes no undo away',
    (platform) => {
      const text = JSON.stringify(menuTemplate(platform));
      expect(text).toContain('"copy"');
      expect(text).not.toMatch(/"(?:undo|redo|toggleDevTools|reload)"/u);
    },
  );
});

describe('saving', () => {
  const file = (name: string, text: string) => ({
    name,
    type: 'application/pdf',
    bytes: new TextEncoder().encode(text),
  });
  const window = {} as BrowserWindow;
  const choosing = (path: string | null) => ({
    showOpenDialog: async () => ({
      canceled: path === null,
      filePaths: path === null ? [] : [path],
    }),
  });

  it('writes whole files, over nothing that is there, and tells the folder by name alone', async () => {
    writeFileSync(join(folder.path, 'a.pdf'), 'mine');
    const saved = await saveFiles(choosing(folder.path), window, [
      file('a.pdf', 'new'),
      file('b.pdf', 'other'),
    ]);
    expect(saved).toEqual({ ok: true, value: { folder: folder.path.split(/[\\/]/u).at(-1) } });
    const names = readdirSync(folder.path).sort();
    expect(names).toEqual(['a (2).pdf', 'a.pdf', 'b.pdf']);
    expect(names.map((name) => readFileSync(join(folder.path, name), 'utf8'))).toEqual([
      'new',
      'mine',
      'other',
    ]);
  });

  it('does nothing when the person thinks better of it', async () => {
    const saved = await saveFiles(choosing(null), window, [file('a.pdf', 'x')]);
    expect(saved).toMatchObject({ ok: false, error: { code: 'export/dismissed' } });
  });

  it('says so when the folder cannot be written to', async () => {
    const saved = await saveFiles(choosing(join(folder.path, 'gone')), window, [
      file('a.pdf', 'x'),
    ]);
    expect(saved).toMatchObject({ ok: false, error: { code: 'file/unwritable' } });
  });
});
