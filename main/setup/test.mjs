/**
 * `npm test`: everything that is checked, in order, on a fresh clone as well. The last line is
 * `N passed, N failed, N skipped`, over all of Vitest's tests; the exit code is 0 only when every
 * step was clean and at least one test ran.
 *
 * `npm test -- shared-core/chord` hands its words to Vitest and runs that alone.
 */
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import process from 'node:process';
import {
  findChromium,
  findElectron,
  findProgram,
  hasScreen,
  inRoot,
  installPackages,
  mayInstallPackages,
  onPinnedNode,
  PINNED_NODE,
  run,
  say,
  startAgainOnPinnedNode,
  toolEnvironment,
} from './environment.mjs';
import { ensureInstalled } from './install.mjs';
import { addUp, countOf, sentenceOf } from './tally.mjs';

/** @typedef {import('./tally.mjs').Tally} Tally */

const VITEST = inRoot('node_modules/vitest/vitest.mjs');

await ensureInstalled();
if (!onPinnedNode()) await startAgainOnPinnedNode();
process.exit(await main(process.argv.slice(2)));

/**
 * @param {readonly string[]} filters what to run; everything when empty
 * @returns {Promise<number>} the exit code
 */
async function main(filters) {
  if (filters.length > 0) return run(PINNED_NODE, [VITEST, 'run', ...filters]);
  ensureProgram('chromium', 'The browser tests', () => findChromium() !== undefined);
  ensureProgram('poppler-utils', 'Tests that read printed pages back', () =>
    Boolean(findProgram('pdftotext')),
  );
  let clean = true;
  clean = (await step('Type checking', 'npm', ['run', '--silent', 'typecheck'])) && clean;
  clean = (await step('Linting', inRoot('node_modules/.bin/biome'), ['check'])) && clean;
  clean = (await step('Building', PINNED_NODE, [inRoot('main/setup/build.mjs')])) && clean;
  const tallies = [
    await runVitest('Tests of the engine, the shell and the window', [
      'shared-core',
      'main',
      'renderer',
      'tests',
    ]),
    await whereThere('Browser tests', 'browser', findChromium(), 'no Chromium was found'),
    await runElectronTests(),
  ];
  const total = addUp(tallies);
  if (total.passed + total.failed === 0) say('Not one test ran.');
  process.stdout.write(`${sentenceOf(total)}\n`);
  return clean && total.clean && total.failed === 0 && total.passed > 0 ? 0 : 1;
}

/**
 * Installs a Debian package where a program is missing and that is possible; says so where it is not.
 * @param {string} name the package
 * @param {string} who what needs it
 * @param {() => boolean} isThere
 */
function ensureProgram(name, who, isThere) {
  if (isThere()) return;
  if (!mayInstallPackages()) {
    say(`${who} need ${name}, which is missing and cannot be installed from here.`);
    return;
  }
  say(`${who} need ${name}; installing it (once)...`);
  const trouble = installPackages([name]);
  if (trouble !== undefined) say(`${name} could not be installed: ${trouble}`);
}

/**
 * @param {string} title
 * @param {string} command
 * @param {readonly string[]} args
 * @returns {Promise<boolean>} whether it found nothing wrong
 */
async function step(title, command, args) {
  say(`${title}...`);
  const shell = process.platform === 'win32';
  const code = await run(command, args, { shell });
  if (code !== 0) say(`${title}: failed.`);
  return code === 0;
}

/**
 * Runs a project where what it needs is there; else counts its tests as skipped, aloud.
 * @param {string} title
 * @param {string} project
 * @param {string | undefined} needed
 * @param {string} why
 * @returns {Promise<Tally>}
 */
async function whereThere(title, project, needed, why) {
  if (needed !== undefined) return runVitest(title, [project]);
  const skipped = await countTests(project);
  say(`SKIPPED: ${title} (${skipped} of them), because ${why}.`);
  return { passed: 0, failed: 0, skipped, clean: true };
}

/**
 * Electron draws even a hidden window, so it needs a screen, or one made up in memory.
 * @returns {Promise<Tally>}
 */
async function runElectronTests() {
  const title = 'Electron tests';
  if (findElectron() === undefined) {
    return whereThere(title, 'electron', undefined, "Electron's program is missing");
  }
  if (hasScreen()) return runVitest(title, ['electron']);
  ensureProgram('xvfb', title, () => findProgram('xvfb-run') !== undefined);
  const screen = findProgram('xvfb-run');
  if (screen === undefined) return whereThere(title, 'electron', undefined, 'there is no screen');
  return runVitest(title, ['electron'], [screen, '--auto-servernum']);
}

/**
 * @param {string} title
 * @param {readonly string[]} projects
 * @param {readonly string[]} inside a program, with its own words, to run Vitest in
 * @returns {Promise<Tally>}
 */
async function runVitest(title, projects, inside = []) {
  say(`${title}...`);
  return withReport(async (report) => {
    const [command = PINNED_NODE, ...words] = [...inside, PINNED_NODE];
    const code = await run(
      command,
      [
        ...words,
        VITEST,
        'run',
        '--passWithNoTests',
        '--reporter=default',
        '--reporter=json',
        `--outputFile.json=${report}`,
        ...projects.map((name) => `--project=${name}`),
      ],
      { env: { ...toolEnvironment(), CHROMIUM_PATH: findChromium() ?? '' } },
    );
    if (!existsSync(report)) return { passed: 0, failed: 0, skipped: 0, clean: code === 0 };
    const tally = countOf(JSON.parse(readFileSync(report, 'utf8')));
    return { ...tally, clean: tally.clean && code === 0 };
  });
}

/**
 * Counts the tests of a project without running them.
 * @param {string} project
 * @returns {Promise<number>}
 */
async function countTests(project) {
  return withReport(async (report) => {
    const args = [VITEST, 'list', `--project=${project}`, `--json=${report}`];
    const code = await run(PINNED_NODE, args, { stdio: 'ignore' });
    if (code !== 0 || !existsSync(report)) return 0;
    return JSON.parse(readFileSync(report, 'utf8')).length;
  });
}

/**
 * @template T
 * @param {(report: string) => Promise<T>} work is given the path of a file not there yet
 * @returns {Promise<T>}
 */
async function withReport(work) {
  const folder = mkdtempSync(path.join(tmpdir(), 'changewright-test-'));
  try {
    return await work(path.join(folder, 'report.json'));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
