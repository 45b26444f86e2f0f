/**
 * `npm run bench`: measures what people wait for and prints a table, then the same as one line of
 * JSON. `npm run bench -- words` measures only what has those words in its name. Being over budget is
 * reported, not failed on: how fast a machine is today is no property of the program.
 */
import process from 'node:process';
import { formatTable, loadAll } from '../report/report.ts';
import { type Bench, type Measured, measure, type Unmeasured } from './measure.ts';

function rowOf(result: Measured | Unmeasured): readonly string[] {
  if ('unavailable' in result) return [result.name, '-', '-', '-', '-', '-', result.unavailable];
  const verdict = result.within === null ? '' : result.within ? 'within' : 'OVER';
  return [
    result.name,
    String(result.runs),
    ...[result.fastest, result.median, result.p95].map((time) => time.toFixed(2)),
    result.budget === null ? '-' : String(result.budget),
    verdict,
  ];
}

const wanted = process.argv.slice(2).join(' ').toLowerCase();
const lists = await loadAll<readonly Bench[]>(import.meta.dirname, '.bench.ts');
const benches = lists.flat().filter(({ name }) => name.toLowerCase().includes(wanted));
if (benches.length === 0) {
  process.stderr.write(`Nothing to measure is called "${wanted}".\n`);
  process.exit(2);
}
const results: (Measured | Unmeasured)[] = [];
for (const bench of benches) {
  process.stderr.write(`${bench.name}...\n`);
  results.push(await measure(bench));
}
const head = ['what (times in ms)', 'runs', 'fastest', 'median', 'p95', 'budget', ''];
process.stdout.write(`${formatTable([head, ...results.map(rowOf)])}\n`);
process.stdout.write(`${JSON.stringify({ node: process.version, results })}\n`);
