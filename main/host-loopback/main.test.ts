import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { testFolder } from '../library/test-library.ts';

const MAIN = fileURLToPath(new URL('main.ts', import.meta.url));

let folder: ReturnType<typeof testFolder>;
let running: ChildProcess[];
beforeEach(() => {
  folder = testFolder();
  running = [];
});
afterEach(() => {
  for (const child of running) child.kill('SIGKILL');
  folder.remove();
});

function start(...args: readonly string[]) {
  const child = spawn(process.execPath, [MAIN, ...args], { stdio: ['pipe', 'pipe', 'pipe'] });
  running.push(child);
  let [out, complaint] = ['', ''];
  child.stdout.on('data', (chunk: Buffer) => {
    out += chunk.toString();
  });
  child.stderr.on('data', (chunk: Buffer) => {
    complaint += chunk.toString();
  });
  const ended = once(child, 'close').then(([code]) => ({
    code: code as number | null,
    out,
    complaint,
  }));
  const ready = new Promise<string>((resolve) => {
    child.stdout.on('data', () => {
      if (out.includes('\n')) resolve(out.trim());
    });
  });
  return { child, ended, ready };
}

it('prints its address alone on a line, and ends when its input closes', async () => {
  const host = start('--library', join(folder.path, 'new', 'a.changewright'));
  expect(await host.ready).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/#open=[0-9a-f]{64}$/u);
  host.child.stdin.end();
  expect(await host.ended).toMatchObject({ code: 0, complaint: '' });
});

it('prints another address when one was used, and never the token', async () => {
  const host = start('--library', join(folder.path, 'a.changewright'));
  const address = new URL(await host.ready);
  const entered = await fetch(`${address.origin}/admission`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', origin: address.origin },
    body: JSON.stringify({ code: address.hash.replace('#open=', '') }),
  });
  const { token } = (await entered.json()) as { readonly token: string };
  expect(token).toMatch(/^[0-9a-f]{64}$/u);
  host.child.stdin.end();
  const { out } = await host.ended;
  expect(new Set(out.trim().split('\n')).size).toBe(2);
  expect(out).not.toContain(token);
});

it.each(['SIGTERM', 'SIGINT', 'SIGHUP'] as const)(
  'closes the library whole on %s, with the backup of the day made',
  async (signal) => {
    const file = join(folder.path, 'a.changewright');
    const host = start('--library', file);
    await host.ready;
    host.child.kill(signal);
    expect(await host.ended).toMatchObject({ code: 0, complaint: '' });
    expect([existsSync(`${file}-wal`), existsSync(`${file}-shm`)]).toEqual([false, false]);
    expect(readdirSync(join(folder.path, 'backups'))).toEqual([
      expect.stringMatching(/^a-\d{8}T\d{6}Z-daily\.changewright$/u),
    ]);
  },
);

it('lets one window at a library, and the next one after a kill', async () => {
  const file = join(folder.path, 'a.changewright');
  const first = start('--library', file);
  await first.ready;
  const second = await start('--library', file).ended;
  expect([second.code, second.out]).toEqual([1, '']);
  expect(second.complaint).toContain('already open in another window');
  first.child.kill('SIGKILL');
  await first.ended;
  const third = start('--library', file);
  expect(await third.ready).toContain('#open=');
});

it('says in one sentence what is wrong with the library or the options', async () => {
  const file = join(folder.path, 'note.txt');
  writeFileSync(file, 'not a library');
  const foreign = await start('--library', file).ended;
  expect([foreign.code, foreign.complaint]).toEqual([
    1,
    `${file} is not a Changewright library; choose another file.\n`,
  ]);
  const wrong = await start('--libary', file).ended;
  expect([wrong.code, wrong.complaint.split('\n').length]).toEqual([2, 2]);
});
