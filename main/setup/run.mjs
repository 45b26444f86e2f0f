/**
 * Runs a TypeScript file of the checkout on the pinned Node, which strips the types itself:
 * `node main/setup/run.mjs tests/bench/index.ts ...`.
 */
import process from 'node:process';
import { PINNED_NODE, run, say } from './environment.mjs';
import { ensureInstalled } from './install.mjs';

const [file, ...args] = process.argv.slice(2);
if (file === undefined) {
  say('Name the file to run.');
  process.exit(2);
}
await ensureInstalled();
process.exit(await run(PINNED_NODE, [file, ...args]));
