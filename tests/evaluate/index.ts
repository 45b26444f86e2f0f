/**
 * `npm run evaluate`: asks every `*.evaluation.ts` beside this file how well the program does its work
 * on material from outside, and prints a table, a few wrong answers, then all of it as one line of
 * JSON. `npm run evaluate -- words` asks only those with the words in their name.
 */
import process from 'node:process';
import { formatTable, loadAll } from '../report/report.ts';
import type { Evaluation, Measure } from './evaluation.ts';

interface Answer {
  readonly name: string;
  readonly source: string;
  readonly unavailable?: string;
  readonly measures: readonly Measure[];
}

async function ask(evaluation: Evaluation): Promise<Answer> {
  const { name, source } = evaluation;
  const unavailable = evaluation.unavailable?.();
  if (unavailable !== undefined) return { name, source, unavailable, measures: [] };
  return { name, source, measures: await evaluation.run() };
}

function rowsOf(answer: Answer): readonly (readonly string[])[] {
  if (answer.unavailable !== undefined) return [[answer.name, '-', '-', answer.unavailable]];
  return answer.measures.map(({ what, right, of }) => [
    `${answer.name}: ${what}`,
    String(right),
    String(of),
    of === 0 ? '-' : `${((100 * right) / of).toFixed(1)} %`,
  ]);
}

const wanted = process.argv.slice(2).join(' ').toLowerCase();
const all = await loadAll<Evaluation>(import.meta.dirname, '.evaluation.ts');
const chosen = all.filter(({ name }) => name.toLowerCase().includes(wanted));
if (chosen.length === 0) {
  const known = all.map(({ name }) => name).join(', ') || 'none yet';
  process.stderr.write(`No evaluation is called "${wanted}". There are: ${known}.\n`);
  process.exit(2);
}
const answers: Answer[] = [];
for (const evaluation of chosen) answers.push(await ask(evaluation));
const head = ['what', 'right', 'of', ''];
process.stdout.write(`${formatTable([head, ...answers.flatMap(rowsOf)])}\n`);
for (const { what, wrong } of answers.flatMap(({ measures }) => measures)) {
  for (const one of wrong ?? []) process.stdout.write(`  ${what}: ${one}\n`);
}
process.stdout.write(`${JSON.stringify({ answers })}\n`);
