/**
 * Builds what runs: the window (build/renderer, by Vite) and the programs around it (build/main, by
 * esbuild). Each is built again only when something that went into it has changed.
 *
 * `node main/setup/build.mjs` builds all; `buildProgram` and `buildWindow` build one.
 */
import { existsSync, readdirSync, rmSync, statSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { inRoot, onPinnedNode, say, startAgainOnPinnedNode } from './environment.mjs';
import { ensureInstalled } from './install.mjs';
import { isFresh, listSources, readStamp, takeStamp, writeWhole } from './stamp.mjs';

/** @typedef {'cli' | 'loopback' | 'electron' | 'preload'} Program */

/** The programs: where each starts and what it becomes. */
const PROGRAMS = /** @type {const} */ ({
  cli: { source: 'main/cli/main.ts', output: 'build/main/cli.mjs' },
  loopback: { source: 'main/host-loopback/main.ts', output: 'build/main/loopback.mjs' },
  electron: { source: 'main/host-electron/main.ts', output: 'build/main/electron.mjs' },
  preload: { source: 'main/host-electron/preload.ts', output: 'build/main/preload.cjs' },
});

/**
 * Packages that stay in node_modules: native code, WebAssembly, or files read from beside the module.
 * They are loaded when first imported, so import them with `await import(...)` where start-up counts.
 */
export const KEPT_OUTSIDE = ['electron', 'better-sqlite3', 'verovio', 'pdfkit'];

/** CommonJS packages inside an ES module still ask for `require`. */
const REQUIRE_BANNER =
  "import { createRequire as $createRequire } from 'node:module'; const require = $createRequire(import.meta.url);";

/** @param {string} name @returns {name is Program} */
export function isProgram(name) {
  return name in PROGRAMS;
}

/** @param {Program} name @returns {string} the built file, from the top of the checkout */
export function outputOf(name) {
  return PROGRAMS[name].output;
}

/** @param {Program} name */
function stampOf(name) {
  return `build/stamps/${name}.json`;
}

/**
 * @param {Program} name
 * @returns {boolean} whether the built file is there and says what the sources say
 */
export function isProgramFresh(name) {
  return existsSync(inRoot(outputOf(name))) && isFresh(stampOf(name));
}

/**
 * Builds one program, with the workers it starts, when it is out of date.
 * @param {Program} name
 * @returns {Promise<string>} the built file, from the top of the checkout
 */
export async function buildProgram(name) {
  if (isProgramFresh(name)) return outputOf(name);
  const { source, output } = PROGRAMS[name];
  /** @type {Set<string>} */
  const workers = new Set();
  const inputs = await bundle(source, output, workers);
  for (const worker of workers) {
    inputs.push(...(await bundle(worker, workerOutput(worker), new Set())));
  }
  const stamped = [...new Set([...inputs, 'package-lock.json', 'main/setup/build.mjs'])];
  writeWhole(stampOf(name), JSON.stringify(takeStamp(stamped)));
  return output;
}

/** @param {string} worker its source @returns {string} what it becomes */
function workerOutput(worker) {
  return `build/main/${worker.slice(worker.lastIndexOf('/') + 1).replace(/\.ts$/, '.mjs')}`;
}

/**
 * Bundles one source with all it imports, and writes the result whole.
 * @param {string} source from the top of the checkout
 * @param {string} output from the top of the checkout; an ES module when it ends in .mjs
 * @param {Set<string>} workers filled with the sources of the workers found
 * @returns {Promise<string[]>} the files that went in
 */
export async function bundle(source, output, workers) {
  const { build } = await import('esbuild');
  const esm = output.endsWith('.mjs');
  const result = await build({
    absWorkingDir: inRoot('.'),
    ...outputs(source, output),
    bundle: true,
    write: false,
    metafile: true,
    platform: 'node',
    target: 'node24',
    format: esm ? 'esm' : 'cjs',
    external: KEPT_OUTSIDE,
    sourcemap: 'linked',
    legalComments: 'none',
    logLevel: 'warning',
    ...(esm ? { banner: { js: REQUIRE_BANNER } } : {}),
    plugins: [workerPlugin(workers)],
  });
  // The program last: it must not be there before what it names.
  const isProgramFile = (/** @type {{path: string}} */ file) => fromRoot(file.path) === output;
  for (const file of result.outputFiles.filter((one) => !isProgramFile(one))) {
    writeWhole(fromRoot(file.path), file.contents);
  }
  for (const file of result.outputFiles.filter(isProgramFile)) writeWhole(output, file.contents);
  if (output === PROGRAMS.cli.output)
    sweepPieces(result.outputFiles.map(({ path }) => fromRoot(path)));
  return Object.keys(result.metafile.inputs).filter((file) => !file.startsWith('node_modules/'));
}

/**
 * The command line is cut into the pieces its commands load: reading all of it takes longer than listing
 * the tunes does. The other programs stay up, and are one file each.
 * @param {string} source
 * @param {string} output
 * @returns {import('esbuild').BuildOptions}
 */
function outputs(source, output) {
  if (output !== PROGRAMS.cli.output) return { entryPoints: [source], outfile: output };
  const name = output.slice(output.lastIndexOf('/') + 1, -'.mjs'.length);
  return {
    entryPoints: [{ in: source, out: name }],
    outdir: output.slice(0, output.lastIndexOf('/')),
    splitting: true,
    chunkNames: `${name}-[hash]`,
    outExtension: { '.js': '.mjs' },
  };
}

/**
 * Removes pieces of the command line that no build wrote for a day; a command that still runs may yet
 * load a younger one.
 * @param {readonly string[]} written from the top of the checkout
 */
function sweepPieces(written) {
  const day = 24 * 60 * 60 * 1000;
  for (const name of readdirSync(inRoot('build/main'))) {
    const file = `build/main/${name}`;
    if (!/^cli-[A-Z0-9]{8}\.mjs(\.map)?$/.test(name) || written.includes(file)) continue;
    if (Date.now() - statSync(inRoot(file)).mtimeMs > day) rmSync(inRoot(file), { force: true });
  }
}

/** @param {string} file absolute @returns {string} from the top of the checkout */
function fromRoot(file) {
  return file.slice(inRoot('.').length).replaceAll('\\', '/').replace(/^\//, '');
}

/**
 * `new URL('./x.worker.ts', import.meta.url)` names a worker's source, which works unbuilt. In a built
 * program it has to name the worker's own built file, which lies beside it.
 * @param {Set<string>} workers filled with the sources found
 * @returns {import('esbuild').Plugin}
 */
function workerPlugin(workers) {
  const reference = /new URL\(\s*'([^']+\.worker)\.ts',\s*import\.meta\.url,?\s*\)/g;
  return {
    name: 'workers',
    setup(build) {
      build.onLoad({ filter: /[\\/](main|shared-core)[\\/].*\.ts$/ }, async ({ path }) => {
        const text = await readFile(path, 'utf8');
        const contents = text.replace(reference, (_whole, stem) => {
          const worker = fileURLToPath(new URL(`${stem}.ts`, `file://${path}`));
          workers.add(fromRoot(worker));
          return `new URL('./${stem.slice(stem.lastIndexOf('/') + 1)}.mjs', import.meta.url)`;
        });
        return { contents, loader: 'ts' };
      });
    },
  };
}

/**
 * Builds the window when it is out of date.
 * @returns {Promise<void>}
 */
export async function buildWindow() {
  const stampFile = 'build/stamps/renderer.json';
  const sources = [
    ...listSources(['renderer', 'shared-core']),
    'vite.config.ts',
    'package-lock.json',
  ];
  const sameFiles = Object.keys(readStamp(stampFile) ?? {}).length === sources.length;
  if (sameFiles && existsSync(inRoot('build/renderer/index.html')) && isFresh(stampFile)) return;
  say('Building the window...');
  // Taken before building: what changes meanwhile is then built again next time.
  const stamp = JSON.stringify(takeStamp(sources));
  const { build } = await import('vite');
  await build({ configFile: inRoot('vite.config.ts'), logLevel: 'warn' });
  writeWhole(stampFile, stamp);
}

/** Builds everything there is. */
export async function buildAll() {
  for (const name of /** @type {Program[]} */ (Object.keys(PROGRAMS))) {
    if (existsSync(inRoot(PROGRAMS[name].source))) await buildProgram(name);
    else say(`${PROGRAMS[name].source} is not there; ${name} was not built.`);
  }
  if (existsSync(inRoot('renderer/index.html'))) await buildWindow();
  else say('renderer/index.html is not there; the window was not built.');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  await ensureInstalled();
  if (!onPinnedNode()) await startAgainOnPinnedNode();
  await buildAll();
}
