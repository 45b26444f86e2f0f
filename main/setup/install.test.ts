import { expect, it } from 'vitest';
import { isSameSet } from './install.mjs';

const lock = {
  '': { version: '0.1.0' },
  'node_modules/a': { version: '1.0.0' },
  'node_modules/b-win32': { version: '2.0.0', optional: true },
};

it('packages of the versions the lock file names are in place', () => {
  expect(isSameSet({ 'node_modules/a': { version: '1.0.0' } }, lock)).toBe(true);
});

it('a package of another version is not in place', () => {
  expect(isSameSet({ 'node_modules/a': { version: '1.0.1' } }, lock)).toBe(false);
});

it('a missing package is not in place, unless it is for another platform', () => {
  expect(isSameSet({}, lock)).toBe(false);
});
