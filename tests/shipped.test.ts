import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { windowFile } from '../main/app/window-files.ts';
import { KEPT_OUTSIDE } from '../main/setup/build.mjs';
import { projectRoot } from '../main/setup/project-root.ts';
import { SAMPLED_INSTRUMENTS } from '../renderer/transport/samples.ts';

const read = (name: string) => readFileSync(join(projectRoot(), name), 'utf8');
const manifest = JSON.parse(read('package.json'));

/** Folders of node_modules that the packing leaves out whole. */
function leftOut(): readonly string[] {
  const lines = read('electron-builder.yml').matchAll(/"!node_modules\/([^"]+)\/\*\*(?:\/\*)?"/gu);
  return [...lines].flatMap(([, names = '']) => {
    const several = /^\{(.+)\}$/u.exec(names)?.[1];
    return several ? several.split(',') : [names];
  });
}

describe('what ships', () => {
  it.each(SAMPLED_INSTRUMENTS.map(({ folder, notes }) => [folder, notes] as const))(
    'has every recorded note the window asks of %s',
    (folder, notes) => {
      const files = notes.map((note) => windowFile(`/samples/${folder}/${note}.mp3`)?.file);
      expect(files.filter((file) => file === undefined || !existsSync(file))).toEqual([]);
    },
  );

  it('starts at the program that package.json names', () => {
    expect(manifest.main).toBe('build/main/electron.mjs');
  });

  it('has the packages that stay outside the program, at run time and in the packing', () => {
    const needed = [
      ...KEPT_OUTSIDE.filter((name) => name !== 'electron'),
      ...SAMPLED_INSTRUMENTS.map(({ folder }) => `tonejs-instrument-${folder}-mp3`),
      'source-sans',
      '@vexflow-fonts/bravuratext',
    ];
    expect(Object.keys(manifest.dependencies)).toEqual(expect.arrayContaining(needed));
    expect(leftOut()).toContain('react-dom');
    expect(needed.filter((name) => leftOut().includes(name))).toEqual([]);
  });
});
