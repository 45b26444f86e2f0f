import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { projectRoot } from '../main/setup/project-root.ts';

const START = join(projectRoot(), 'main', 'setup', 'start.mjs');
const ADDRESS = /^http:\/\/127\.0\.0\.1:\d+\/#open=[0-9a-f]{64}$/mu;

let folder: string;
let running: ChildProcess[];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'changewright-start-'));
  running = [];
});
afterEach(() => {
  for (const child of running) child.kill('SIGKILL');
  rmSync(folder, { recursive: true, force: true });
});

/**
 * Starts the program as `npm start` does, on a machine without Electron's program.
 *
 * @param browser what stands for the browser; null for a machine without a screen
 */
function start(browser: string | null) {
  mkdirSync(join(folder, 'no-electron'), { recursive: true });
  mkdirSync(join(folder, 'temporary'), { recursive: true });
  const screen = browser === null ? {} : { DISPLAY: ':made-up', CHROMIUM_PATH: browser };
  const { DISPLAY: _display, WAYLAND_DISPLAY: _wayland, ...environment } = process.env;
  const child = spawn(process.execPath, [START, '--library', join(folder, 'a.changewright')], {
    stdio: ['ignore', 'pipe', 'pipe'],
    env: {
      ...environment,
      ELECTRON_OVERRIDE_DIST_PATH: join(folder, 'no-electron'),
      TMPDIR: join(folder, 'temporary'),
      ...screen,
    },
  });
  running.push(child);
  let [out, said] = ['', ''];
  child.stdout.on('data', (chunk: Buffer) => {
    out += chunk.toString();
  });
  child.stderr.on('data', (chunk: Buffer) => {
    said += chunk.toString();
  });
  const ended = once(child, 'close').then(([code]) => ({ code: code as number | null, out, said }));
  const address = new Promise<string>((resolve, reject) => {
    child.stdout.on('data', () => {
      const found = ADDRESS.exec(out)?.[0];
      if (found) resolve(found);
    });
    void ended.then(() => reject(new Error(`Ended without an address: ${said}`)));
  });
  // Only some tests wait for the address; the others see the end.
  address.catch(() => undefined);
  return { child, address, ended };
}

/** A program that stands for the browser: writes down how it was called, then does as told. */
function browserThat(does: string): string {
  const file = join(folder, 'browser');
  const notes = join(folder, 'called');
  writeFileSync(file, `#!/bin/sh\nprintf '%s\\n' "$@" > '${notes}'\n${does}\n`);
  chmodSync(file, 0o755);
  return file;
}

const called = () => readFileSync(join(folder, 'called'), 'utf8').trim().split('\n');

async function answers(address: string): Promise<boolean> {
  return fetch(address).then(
    ({ ok }) => ok,
    () => false,
  );
}

describe('starting the program without a screen', () => {
  it('says where the window is, serves it, and ends with all it started', async () => {
    const program = start(null);
    const address = await program.address;
    expect(await answers(address)).toBe(true);
    program.child.kill('SIGTERM');
    const { code, out, said } = await program.ended;
    expect([code, out.trim()]).toEqual([0, address]);
    expect(said).toContain('open the address below in a browser');
    expect(await answers(address)).toBe(false);
  });

  it('leaves nothing running when it is killed', async () => {
    const program = start(null);
    const address = await program.address;
    program.child.kill('SIGKILL');
    await program.ended;
    await expect.poll(() => answers(address), { timeout: 10_000 }).toBe(false);
  });
});

// The stand-in for the browser is a script of the shell.
describe.skipIf(process.platform === 'win32')('starting the program with a screen', () => {
  it('opens a window of its own, and ends when that is closed', async () => {
    const { code, out, said } = await start(browserThat('exit 0')).ended;
    expect([code, said.includes('opening a browser window')]).toEqual([0, true]);
    const [window, profile] = called();
    expect(window).toBe(`--app=${out.trim()}`);
    expect(profile).toContain(join(folder, 'temporary', 'changewright-window-'));
    expect(existsSync(profile?.replace('--user-data-dir=', '') ?? folder)).toBe(false);
  });

  // Whose child is whose is read where Linux keeps it.
  it.skipIf(process.platform !== 'linux')('closes the window when its host is gone', async () => {
    const program = start(browserThat('exec sleep 60'));
    await expect.poll(() => existsSync(join(folder, 'called')), { timeout: 30_000 }).toBe(true);
    const { pid } = program.child;
    const [host] = readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8').split(' ');
    process.kill(Number(host), 'SIGKILL');
    expect((await program.ended).code).toBe(1);
  });

  it('goes on at its address when the browser does not start', async () => {
    const broken = join(folder, 'broken');
    writeFileSync(broken, 'not a program');
    const program = start(broken);
    const address = await program.address;
    expect(await answers(address)).toBe(true);
    program.child.kill('SIGTERM');
    const { code, said } = await program.ended;
    expect([code, said.includes('open the address above in a browser yourself')]).toEqual([
      0,
      true,
    ]);
  });
});
