import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bundle } from './build.mjs';
import { projectRoot } from './project-root.ts';

describe('bundling a program that starts a worker', () => {
  let folder: string;
  let inputs: string[];
  const workers = new Set<string>();
  const inFolder = (name: string) => relative(projectRoot(), join(folder, name));

  beforeAll(async () => {
    mkdirSync(join(projectRoot(), 'build'), { recursive: true });
    folder = mkdtempSync(join(projectRoot(), 'build', 'bundle-test-'));
    mkdirSync(join(folder, 'main', 'inner'), { recursive: true });
    writeFileSync(
      join(folder, 'main', 'start.ts'),
      `import { Worker } from 'node:worker_threads';
       import { projectRoot } from '../../../main/setup/project-root.ts';
       console.log(projectRoot());
       new Worker(new URL('./inner/count.worker.ts', import.meta.url))
         .once('message', (sum: number) => console.log(sum));`,
    );
    writeFileSync(
      join(folder, 'main', 'inner', 'count.worker.ts'),
      `import { parentPort } from 'node:worker_threads';
       parentPort?.postMessage((2 as number) + 3);`,
    );
    inputs = await bundle(inFolder('main/start.ts'), inFolder('out/start.mjs'), workers);
    for (const worker of workers) {
      await bundle(worker, inFolder('out/count.worker.mjs'), new Set());
    }
  });

  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('reports the worker and the files that went in', () => {
    expect([...workers]).toEqual([inFolder('main/inner/count.worker.ts')]);
    expect(inputs).toContain(inFolder('main/start.ts'));
    expect(inputs).toContain('main/setup/project-root.ts');
  });

  it('runs, finds the worker beside it, and still finds the top of the checkout', () => {
    const said = execFileSync(process.execPath, [join(folder, 'out', 'start.mjs')], {
      encoding: 'utf8',
    });
    expect(said.trim().split('\n')).toEqual([join(projectRoot(), '.').replace(/\/$/, ''), '5']);
  });

  it('is the same program unbuilt, because Node strips the types itself', () => {
    const said = execFileSync(process.execPath, [join(folder, 'main', 'start.ts')], {
      encoding: 'utf8',
    });
    expect(said.trim().split('\n').at(-1)).toBe('5');
  });
});
