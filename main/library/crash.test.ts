import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { openLibrary } from './library.ts';
import { openTestLibrary, testFolder, testPorts, tuneEntry } from './test-library.ts';

const CHILD = fileURLToPath(new URL('crash-child.ts', import.meta.url));

let folder: ReturnType<typeof testFolder>;
let file: string;
beforeEach(() => {
  folder = testFolder();
  file = join(folder.path, 'library.changewright');
});
afterEach(() => folder.remove());

function start(...args: readonly string[]): ChildProcess {
  return spawn(process.execPath, [CHILD, ...args], { stdio: ['ignore', 'pipe', 'inherit'] });
}

/** Kills a writing process once it has said `count` lines; answers the last whole line it said. */
async function killAfter(child: ChildProcess, count: number): Promise<number> {
  let said = '';
  child.stdout?.on('data', (chunk: Buffer) => {
    said += chunk.toString();
    if (said.split('\n').length > count) child.kill('SIGKILL');
  });
  await once(child, 'close');
  return Number(said.split('\n').at(-2));
}

it.each([1, 7, 40])(
  'nothing that was answered is lost when the process is killed after %i',
  async (count) => {
    const answered = await killAfter(start('write', file), count);
    const library = await openTestLibrary(file);
    const [row] = library.arrangements.list(null, false);
    const history = library.arrangements.history(row?.id ?? '');
    expect(row?.revision).toBeGreaterThanOrEqual(answered);
    // State, decisions and taste are of one moment, whichever it was.
    expect(row?.name).toBe(String(row?.revision));
    expect(history.map((entry) => entry.seq)).toEqual(history.map((_, index) => index + 1));
    expect(history).toHaveLength(row?.revision ?? -1);
    expect(library.taste.list()[0]?.accepted).toBe(row?.revision);
    expect(library.faults()).toEqual([]);
    library.close();
  },
);

it('a lock held by another program for a while is waited for without an error', async () => {
  const library = await openTestLibrary(file);
  const child = start('lock', file, '700');
  await once(child.stdout ?? child, 'data');
  expect(library.tunes.add([tuneEntry()])).toHaveLength(1);
  library.close();
  await once(child, 'close');
});

it('a lock held for longer than the wait is a busy library, nothing half kept, and works when tried again', async () => {
  const opened = await openLibrary(file, { ...testPorts(), busyTimeout: 100 });
  if (!opened.ok) throw new Error(opened.error.code);
  const library = opened.value;
  const child = start('lock', file, '60000');
  await once(child.stdout ?? child, 'data');
  expect(() => library.tunes.add([tuneEntry()])).toThrow(/locked/u);
  expect(library.tunes.list(null, false)).toEqual([]);
  child.kill('SIGKILL');
  await once(child, 'close');
  library.tunes.add([tuneEntry()]);
  expect(library.tunes.list(null, false)).toHaveLength(1);
  library.close();
});
