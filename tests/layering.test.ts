import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { projectRoot } from '../main/setup/project-root.ts';
import { readFolder, readSource, type SourceFile } from './layering/imports.ts';
import { findFaults } from './layering/rules.ts';

const root = projectRoot();

function readAll(): readonly SourceFile[] {
  return ['shared-core', 'main', 'renderer'].flatMap((top) => readFolder(root, top));
}

/** Files given as `path: text`. */
function faultsOf(sources: Readonly<Record<string, string>>): readonly string[] {
  return findFaults(Object.entries(sources).map(([path, text]) => readSource(path, text)));
}

describe('the sources of the program', () => {
  const files = readAll();

  it('import only what lies below them, and never in a circle', () => {
    expect(files.length).toBeGreaterThan(10);
    expect(findFaults(files)).toEqual([]);
  });

  it('name every imported file by a path that exists, ending included', () => {
    const lost = files.flatMap((file) =>
      file.files
        .filter((target) => !existsSync(join(root, target)))
        .map((target) => `${file.path} imports ${target}`),
    );
    expect(lost).toEqual([]);
  });
});

describe('the detector', () => {
  it.each([
    ['an upward import', "import { x } from '../tune/model.ts';", 'tune is not below chord'],
    [
      'an upward import of a type alone',
      "import type { X } from '../tune/model.ts';",
      'tune is not below chord',
    ],
    ['an upward re-export', "export * from '../tune/model.ts';", 'tune is not below chord'],
    ['an upward import() of a type', "type X = import('../tune/m.ts').X;", 'not below chord'],
    ['an upward import() at run time', "void import('../tune/m.ts');", 'not below chord'],
    ['the shell', "import '../../main/app/a.ts';", 'may not know of main'],
    ['the window', "import '../../renderer/a.tsx';", 'may not know of renderer'],
    ['a Node module', "import 'node:fs';", 'the package node:fs'],
    ['a package', "import { Note } from 'tonal';", 'the package tonal'],
    ['chance', 'export const x = Math.random();', 'uses Math.random'],
    ['chance by another spelling', "export const x = Math['random']();", 'uses Math.random'],
    ['the clock', 'export const x = new Date();', 'uses Date'],
    ['the clock by another spelling', 'export const x = Date.now();', 'uses Date'],
  ])('finds %s in the engine', (_what, text, sentence) => {
    const faults = faultsOf({ 'shared-core/chord/a.ts': text });
    expect(faults).toHaveLength(1);
    expect(faults[0]).toContain(sentence);
  });

  it('finds folders of the same layer that know of each other', () => {
    const faults = faultsOf({ 'shared-core/pitch/a.ts': "import '../time/meter.ts';" });
    expect(faults).toEqual([
      'shared-core/pitch/a.ts imports shared-core/time/meter.ts: time is not below pitch',
    ]);
  });

  it('finds a circle within one folder', () => {
    const faults = faultsOf({
      'shared-core/chord/a.ts': "import './b.ts';",
      'shared-core/chord/b.ts': "import './a.ts';",
    });
    expect(faults).toEqual([
      'imports go round: shared-core/chord/a.ts -> shared-core/chord/b.ts -> shared-core/chord/a.ts',
    ]);
  });

  it('finds a window that reaches for the shell, for Node or for the database', () => {
    const text = "import '../main/app/a.ts'; import 'fs'; import 'better-sqlite3';";
    expect(faultsOf({ 'renderer/a.tsx': text })).toHaveLength(3);
  });

  it('finds a shell that reaches for the window, and a reader that reaches for the use cases', () => {
    const text = "import '../../renderer/a.tsx'; import '../app/a.ts';";
    expect(faultsOf({ 'main/print/a.ts': text })).toHaveLength(2);
  });

  it('finds a folder that nobody put in the table', () => {
    expect(faultsOf({ 'shared-core/utils/a.ts': '' })).toEqual([
      'shared-core/utils/a.ts lies in a folder the table does not name: utils',
    ]);
  });

  it('leaves alone what only looks like a fault', () => {
    const text = `
      // import '../tune/model.ts'; Math.random()
      import { ok } from '../result.ts';
      import type { Spelled } from '../pitch/spelled.ts';
      export const words = "import '../tune/model.ts'; new Date()";
      export const item = { Date: 1 };
      export const day = item.Date;
    `;
    expect(faultsOf({ 'shared-core/chord/a.ts': text })).toEqual([]);
  });

  it('says which file does not parse', () => {
    expect(() => readSource('shared-core/chord/a.ts', 'export const = 3;')).toThrow(
      'shared-core/chord/a.ts',
    );
  });
});
