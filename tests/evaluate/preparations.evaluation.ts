/** What each chord leads to, against the arcs of the treebank. */
import type { Analysis } from '../../shared-core/analysis/model.ts';
import { understand } from '../../shared-core/proposals/understand.ts';
import {
  type CorpusRow,
  corpus,
  corpusMissing,
  type Preparation,
  symbolsOf,
  tuneOf,
} from './corpus.ts';
import type { Evaluation, Measure } from './evaluation.ts';

/** One arc of the treebank beside ours. */
interface Arc {
  readonly row: CorpusRow;
  readonly wanted: Preparation;
  readonly from: string;
  readonly to: string;
  /** Ours, as an index into the row's chords; null for none. */
  readonly found: number | null;
  /** Same harmony held at both places: the treebank points at the last bar of a held chord, we at its first. */
  readonly right: boolean;
}

const DOMINANT = /^[A-G][b#]?(7|9|11|13)/;
const TWO = /^[A-G][b#]?m(?!aj)/;

const KINDS: readonly (readonly [string, (arc: Arc) => boolean])[] = [
  ['all arcs', () => true],
  [
    'two-fives',
    ({ wanted, from, to }) =>
      wanted.adjacent && wanted.rootUp === 5 && TWO.test(from) && DOMINANT.test(to),
  ],
  ['dominants falling a fifth', ({ wanted, from }) => wanted.rootUp === 5 && DOMINANT.test(from)],
  ['tritone substitutes', ({ wanted, from }) => wanted.rootUp === 11 && DOMINANT.test(from)],
  [
    'backdoor and deceptive (dominant rising a tone)',
    ({ wanted, from, to }) => wanted.rootUp === 2 && DOMINANT.test(from) && !DOMINANT.test(to),
  ],
];

function arcsOf(row: CorpusRow): Arc[] {
  const wanted = row.analysis?.preparations ?? [];
  if (wanted.length === 0) return [];
  const analysis = understand(tuneOf(row));
  if (!analysis.ok) return [];
  const symbols = symbolsOf(row);
  const shift = analysis.value.chords.length - symbols.length;
  return wanted.map((arc) => arcOf(row, arc, analysis.value, symbols, shift));
}

function arcOf(
  row: CorpusRow,
  wanted: Preparation,
  analysis: Analysis,
  symbols: readonly string[],
  shift: number,
): Arc {
  const prepares = analysis.chords[wanted.from + shift]?.prepares ?? null;
  const found = prepares === null ? null : prepares - shift;
  const right = found !== null && heldFrom(symbols, found) === heldFrom(symbols, wanted.to);
  const from = symbols[wanted.from] ?? '';
  return { row, wanted, from, to: symbols[wanted.to] ?? '', found, right };
}

/** First of the equal symbols that a chord stands among. */
function heldFrom(symbols: readonly string[], index: number): number {
  let first = index;
  while (first > 0 && symbols[first - 1] === symbols[index]) first -= 1;
  return first;
}

function worstPieces(arcs: readonly Arc[]): string[] {
  const byRow = new Map<CorpusRow, Arc[]>();
  for (const arc of arcs) byRow.set(arc.row, [...(byRow.get(arc.row) ?? []), arc]);
  return [...byRow]
    .map(([row, own]) => ({ row, wrong: own.filter(({ right }) => !right), of: own.length }))
    .sort((a, b) => b.wrong.length / b.of - a.wrong.length / a.of)
    .slice(0, 10)
    .map(({ row, wrong, of }) => {
      const named = wrong.slice(0, 4).map(missText);
      return `${row.id} ${wrong.length} of ${of} missed: ${named.join('; ')}`;
    });
}

function missText({ row, wanted, from, to, found }: Arc): string {
  const symbols = symbolsOf(row);
  const ours = found === null ? 'rests' : `to ${symbols[found]} (${found})`;
  return `${from} (${wanted.from}) to ${to} (${wanted.to}), here ${ours}`;
}

function run(): Measure[] {
  const arcs = corpus('jht').flatMap(arcsOf);
  const measures = KINDS.map(([what, belongs]) => {
    const own = arcs.filter(belongs);
    return { what, right: own.filter(({ right }) => right).length, of: own.length };
  });
  const exact = arcs.filter(({ found, wanted }) => found === wanted.to).length;
  return [
    ...measures.map((one, index) => (index === 0 ? { ...one, wrong: worstPieces(arcs) } : one)),
    { what: 'all arcs, to the very bar of a held chord', right: exact, of: arcs.length },
  ];
}

const evaluation: Evaluation = {
  name: 'preparations',
  source:
    'The Jazz Harmony Treebank (CC BY-NC-SA 4.0); goals 75 % of all arcs, 95 % of the two-fives, 85 % of the tritone substitutes and backdoors',
  unavailable: corpusMissing,
  run,
};

export default evaluation;
