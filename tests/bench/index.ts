/**
 * `npm run bench`: measures what people wait for and prints a table, then the same as one line of
 * JSON. `npm run bench -- words` measures only what has those words in its name. Being over budget is
 * reported, not failed on: how fast a machine is today is no property of the program. The whole of it
 * also goes to build/bench.json, and the growth with bars is drawn in build/growth.svg.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import process from 'node:process';
import { projectRoot } from '../../main/setup/project-root.ts';
import { formatTable, loadAll } from '../report/report.ts';
import { type GrowthPoint, growthAgainstLinear, growthPlot } from './growth.ts';
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

/** Points of the benches named `growth: ..., N bars`, by their fastest runs: what else a machine does is no growth. */
function growthPoints(results: readonly (Measured | Unmeasured)[]): GrowthPoint[] {
  return results.flatMap((result) => {
    const bars = /^growth: .* (\d+) bars$/u.exec(result.name)?.[1];
    return bars === undefined || 'unavailable' in result
      ? []
      : [{ bars: Number(bars), time: result.fastest }];
  });
}

function writeGrowth(folder: string, points: readonly GrowthPoint[]): number {
  writeFileSync(
    join(folder, 'growth.svg'),
    growthPlot(points, 'Understanding a tune and proposing'),
  );
  return growthAgainstLinear(points);
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
const folder = join(projectRoot(), 'build');
mkdirSync(folder, { recursive: true });
const points = growthPoints(results);
const growth = points.length > 1 ? writeGrowth(folder, points) : null;
if (growth !== null) {
  process.stdout.write(
    `growth against linear: ${growth.toFixed(2)} (goal 1.3), drawn in build/growth.svg\n`,
  );
}
const json = JSON.stringify({ node: process.version, results, growth });
writeFileSync(join(folder, 'bench.json'), `${json}\n`);
process.stdout.write(`${json}\n`);
