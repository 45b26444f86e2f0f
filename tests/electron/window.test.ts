import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { _electron, type ElectronApplication, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { projectRoot } from '../../main/setup/project-root.ts';
import { METHOD_NAMES } from '../../shared-core/contract/methods.ts';

const ROOT = projectRoot();
const PROGRAM = join(ROOT, 'build', 'main', 'electron.mjs');
const DIST = process.env.ELECTRON_OVERRIDE_DIST_PATH ?? join(ROOT, 'node_modules/electron/dist');
const NAMES: Readonly<Record<string, string>> = {
  darwin: 'Electron.app/Contents/MacOS/Electron',
  win32: 'electron.exe',
};
const ELECTRON = join(DIST, NAMES[process.platform] ?? 'electron');

// Only as root, and only here: the sandbox of the browser below Electron refuses to start for root.
const AS_ROOT = process.getuid?.() === 0 ? ['--no-sandbox'] : [];

/** Runs only where Electron's program is; it is fetched apart from npm and may be missing. */
describe.skipIf(!existsSync(ELECTRON))('the window in Electron', () => {
  let folder: string;
  let program: ElectronApplication;
  let page: Page;
  const args = () => [
    ...AS_ROOT,
    `--user-data-dir=${join(folder, 'profile')}`,
    ROOT,
    '--library',
    join(folder, 'library.changewright'),
  ];

  beforeAll(async () => {
    if (!existsSync(PROGRAM)) throw new Error('The program is not built; run `npm run build`.');
    folder = mkdtempSync(join(tmpdir(), 'changewright-electron-'));
    program = await _electron.launch({ executablePath: ELECTRON, args: args() });
    page = await program.firstWindow();
    await page.waitForSelector('h1');
  });

  afterAll(async () => {
    await program?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('shows the sample tunes from our own scheme', async () => {
    expect(page.url()).toMatch(/^app:\/\/changewright\//u);
    await page.getByText('Lantern Street').first().waitFor();
  });

  it('has the contract and nothing of the machine', async () => {
    const seen = await page.evaluate(() => ({
      bridge: Object.keys((window as unknown as { changewright: object }).changewright),
      machine: ['require', 'process', 'module', 'Buffer', 'ipcRenderer'].filter(
        (name) => name in window,
      ),
    }));
    expect(seen.bridge.sort()).toEqual([...METHOD_NAMES].sort());
    expect(seen.machine).toEqual([]);
  });

  it('goes nowhere, opens nothing and is let out nowhere', async () => {
    const tried = await page.evaluate(async () => {
      const opened = window.open('https://example.org/') !== null;
      const fetched = await fetch('https://example.org/').then(
        () => true,
        () => false,
      );
      const disk = await fetch('file:///etc/passwd').then(
        () => true,
        () => false,
      );
      location.assign('https://example.org/');
      const camera = await navigator.mediaDevices?.getUserMedia({ audio: true }).then(
        () => true,
        () => false,
      );
      return { opened, fetched, disk, camera: camera ?? false };
    });
    expect(tried).toEqual({ opened: false, fetched: false, disk: false, camera: false });
    expect(page.url()).toMatch(/^app:\/\/changewright\//u);
    expect(program.windows()).toHaveLength(1);
  });

  it('writes an export into the folder that is chosen', async () => {
    await program.evaluate(({ dialog }, path) => {
      dialog.showOpenDialog = async () => ({ canceled: false, filePaths: [path] });
    }, folder);
    const saved = await page.evaluate(async () => {
      type Call = (request: object) => Promise<{ value: Record<string, never> }>;
      const bridge = (window as unknown as { changewright: Record<string, Call> }).changewright;
      const call = async (method: string, request: object) =>
        // biome-ignore lint/suspicious/noExplicitAny: the page side of the test knows no types
        (await bridge[method]?.(request))?.value as any;
      const { tunes } = await call('tunes.list', {});
      const tuneId = tunes[0].id;
      const { id } = await call('arrangements.create', { tuneId, name: 'Test', choruses: 2 });
      const request = { arrangementId: id, chairs: 'all', formats: ['midi'], options: {} };
      const { job } = await call('exports.start', request);
      for (;;) {
        const { state } = await call('exports.progress', { job });
        if (state !== 'running') break;
        await new Promise((resolve) => setTimeout(resolve, 50));
      }
      return call('exports.saveAll', { job });
    });
    expect(saved.folder).toBe(folder.split(/[\\/]/u).at(-1));
    expect(saved.files).toBeGreaterThan(3);
  });

  it('comes to the front instead of opening twice', async () => {
    const second = spawn(ELECTRON, args(), { stdio: 'ignore' });
    const [code] = await once(second, 'exit');
    expect(code).toBe(0);
    expect(program.windows()).toHaveLength(1);
  });
});
