import { extname, join, relative, sep } from 'node:path';
import { projectRoot } from '../setup/project-root.ts';

/** A file the window may load. */
export interface WindowFile {
  readonly file: string;
  readonly type: string;
}

/** What may be served, and as what. Anything else is not part of the window. */
const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
  '.mp3': 'audio/mpeg',
};

/** Sampled instruments that ship, by their folder under `/samples/`. */
const SAMPLES: readonly string[] = [
  'contrabass',
  'guitar-electric',
  'piano',
  'saxophone',
  'trumpet',
];

/**
 * What the window may do, as its page's content policy: nothing from elsewhere, no code in the page, no
 * eval but WebAssembly's. Charts are shown as blob images, which need no exception for styles.
 * Source: Content Security Policy Level 3, w3.org/TR/CSP3.
 */
export const CONTENT_POLICY = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "worker-src 'self'",
  "style-src 'self'",
  "font-src 'self'",
  "img-src 'self' blob:",
  "media-src 'self' blob:",
  "connect-src 'self'",
  "form-action 'none'",
  "base-uri 'none'",
  "frame-ancestors 'none'",
].join('; ');

/** Headers that go with everything the window loads, in both hosts. */
export const WINDOW_HEADERS: Readonly<Record<string, string>> = {
  'content-security-policy': CONTENT_POLICY,
  'x-content-type-options': 'nosniff',
  'cache-control': 'no-store',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
};

/**
 * The file behind an address path of the window; null for anything that is not part of it. Whether the
 * file is there is seen when it is read.
 *
 * @param pathname of a parsed address, still percent-encoded: `/`, `/assets/x.js`, `/samples/piano/C4.mp3`
 * @param root folder that holds `build/renderer` and `node_modules`
 */
export function windowFile(pathname: string, root = projectRoot()): WindowFile | null {
  const path = decoded(pathname);
  if (path === null) return null;
  const sample = /^\/samples\/([a-z-]+)\/([A-G]s?\d\.mp3)$/u.exec(path);
  if (sample) return sampleFile(root, sample[1] ?? '', sample[2] ?? '');
  const folder = join(root, 'build', 'renderer');
  const file = join(folder, path === '/' ? 'index.html' : path);
  const inside = relative(folder, file);
  if (inside === '' || inside.startsWith('..') || inside.split(sep).includes('..')) return null;
  const type = TYPES[extname(file)];
  return type ? { file, type } : null;
}

function sampleFile(root: string, instrument: string, note: string): WindowFile | null {
  if (!SAMPLES.includes(instrument)) return null;
  const file = join(root, 'node_modules', `tonejs-instrument-${instrument}-mp3`, note);
  return { file, type: 'audio/mpeg' };
}

/** A path decoded once, with one way to write each: no climbing, no other separators, no hidden files. */
function decoded(pathname: string): string | null {
  let path: string;
  try {
    path = decodeURIComponent(pathname);
  } catch (thrown) {
    if (thrown instanceof URIError) return null;
    throw thrown;
  }
  const parts = path.split('/').slice(1);
  const bad = parts.some((part, index) => {
    const last = index === parts.length - 1;
    return part.startsWith('.') || (part === '' && !last) || /[\\:\p{Cc}]/u.test(part);
  });
  return path.startsWith('/') && !bad ? path : null;
}
