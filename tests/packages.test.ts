import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { projectRoot } from '../main/setup/project-root.ts';

const read = (name: string) => readFileSync(join(projectRoot(), name), 'utf8');
const manifest = JSON.parse(read('package.json'));
const lock = JSON.parse(read('package-lock.json'));
const asked: Readonly<Record<string, string>> = {
  ...manifest.dependencies,
  ...manifest.devDependencies,
};

describe('the packages', () => {
  it('are each pinned to one version', () => {
    expect(Object.keys(asked).length).toBeGreaterThan(10);
    const loose = Object.entries(asked).filter(([, version]) => !/^\d+\.\d+\.\d+$/.test(version));
    expect(loose).toEqual([]);
  });

  it('stand in the lock file as package.json asks for them', () => {
    const root = lock.packages[''];
    expect({ ...root.dependencies, ...root.devDependencies }).toEqual(asked);
    for (const [name, version] of Object.entries(asked)) {
      expect(lock.packages[`node_modules/${name}`]?.version, name).toBe(version);
    }
  });

  it('are checked by hash and come from whatever registry npm is set to', () => {
    const entries = Object.entries<{ integrity?: string; resolved?: string }>(lock.packages);
    const unchecked = entries.filter(([place, { integrity }]) => place !== '' && !integrity);
    expect(unchecked).toEqual([]);
    expect(entries.filter(([, { resolved }]) => resolved !== undefined)).toEqual([]);
  });

  it('include the very Node that .node-version names', () => {
    expect(asked.node).toBe(read('.node-version').trim());
  });
});
