import { mkdirSync, mkdtempSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { projectRoot } from './project-root.ts';
import { isFresh, listSources, readStamp, takeStamp, writeWhole } from './stamp.mjs';

// Stamps name files from the top of the checkout, so these lie inside it, in the ignored folder.
let folder: string;
const named = (name: string) => relative(projectRoot(), join(folder, name));

beforeEach(() => {
  mkdirSync(join(projectRoot(), 'build'), { recursive: true });
  folder = mkdtempSync(join(projectRoot(), 'build', 'stamp-test-'));
  writeFileSync(join(folder, 'a.ts'), 'one');
  writeWhole(named('stamp.json'), JSON.stringify(takeStamp([named('a.ts')])));
});

afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('a stamp', () => {
  it('is fresh while its files stay as they were', () => {
    expect(isFresh(named('stamp.json'))).toBe(true);
  });

  it('is not fresh when a file changed its length', () => {
    const before = takeStamp([named('a.ts')])[named('a.ts')];
    writeFileSync(join(folder, 'a.ts'), 'three');
    utimesSync(join(folder, 'a.ts'), new Date(), new Date(before?.[0] ?? 0));
    expect(isFresh(named('stamp.json'))).toBe(false);
  });

  it('is not fresh when a file was written again with another time, even an earlier one', () => {
    utimesSync(join(folder, 'a.ts'), new Date(), new Date('2020-01-01'));
    expect(isFresh(named('stamp.json'))).toBe(false);
  });

  it('is not fresh when a file is gone', () => {
    rmSync(join(folder, 'a.ts'));
    expect(isFresh(named('stamp.json'))).toBe(false);
  });

  it('is not fresh when it was never written or was cut short', () => {
    writeFileSync(join(folder, 'half.json'), '{"a":');
    expect(isFresh(named('none.json'))).toBe(false);
    expect(isFresh(named('half.json'))).toBe(false);
    expect(readStamp(named('half.json'))).toBeUndefined();
  });
});

it('listing sources leaves tests out and keeps an order', () => {
  for (const name of ['c.tsx', 'b.css', 'a.test.ts', 'c.test.tsx']) {
    writeFileSync(join(folder, name), '');
  }
  const listed = listSources([relative(projectRoot(), folder)]);
  expect(listed).toEqual(['a.ts', 'b.css', 'c.tsx', 'stamp.json'].map(named));
});
