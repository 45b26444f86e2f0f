/**
 * Judges a 32-bar tune for 5 choruses once, in a process of its own, and prints how many milliseconds that
 * took: everything is loaded, and nothing has run yet. See `harmony.bench.ts`.
 */
import { performance } from 'node:perf_hooks';
import process from 'node:process';
import { judgeAfresh, tuneOf } from './judging.ts';

const tune = tuneOf(32);
const start = performance.now();
judgeAfresh(tune, 5);
process.stdout.write(`${performance.now() - start}\n`);
