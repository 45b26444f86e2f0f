import { resolve } from 'node:path';
import { expect, it } from 'vitest';
import { libraryArgument } from './arguments.ts';

const FILE = resolve('/music/band.changewright');

it.each([
  ['packed', ['/opt/changewright', '--library', FILE]],
  ['packed, the other way to write it', ['/opt/changewright', `--library=${FILE}`]],
  ['from a checkout', ['/electron', '/checkout', '--library', FILE]],
  [
    'among the switches of the browser',
    ['/electron', '--no-sandbox', '--user-data-dir=/tmp/x', '/checkout', '--library', FILE],
  ],
])('the library is found when the program is started %s', (_how, argv) => {
  expect(libraryArgument(argv)).toEqual({ ok: true, value: FILE });
});

it('a file named from where the person stands is that file', () => {
  const found = libraryArgument(['/opt/changewright', '--library', 'band.changewright']);
  expect(found).toEqual({ ok: true, value: resolve('band.changewright') });
});

it('no library named is the usual one', () => {
  expect(libraryArgument(['/opt/changewright'])).toEqual({ ok: true, value: null });
  expect(libraryArgument(['/electron', '/checkout'])).toEqual({ ok: true, value: null });
});

it.each([[['--library']], [['--library=']]])('%j is told what is missing', (words) => {
  const found = libraryArgument(['/opt/changewright', ...words]);
  expect(found).toEqual({ ok: false, error: '--library has no file; write --library FILE.' });
});
