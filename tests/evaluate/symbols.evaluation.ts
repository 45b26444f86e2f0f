/** Chord symbols of the corpora: how many are read, and how many sound as the dataset says. */
import { parseChord } from '../../shared-core/chord/parse.ts';
import { chromaSetOf } from '../../shared-core/chord/tones.ts';
import { corpusMissing, readJson } from './corpus.ts';
import type { Evaluation, Measure } from './evaluation.ts';

interface SymbolRow {
  readonly symbol: string;
  readonly count: number;
  readonly dataset: string;
  readonly pcs?: readonly number[];
  readonly nonLeadSheet?: boolean;
}

function run(): Measure[] {
  const rows = (readJson('distinct-symbols.json') as readonly SymbolRow[]).filter(
    ({ nonLeadSheet }) => nonLeadSheet !== true,
  );
  const symbols = [...new Set(rows.map(({ symbol }) => symbol))];
  const unread = symbols.filter((symbol) => !parseChord(symbol).ok);
  const measured = rows.filter(({ symbol, pcs }) => pcs !== undefined && parseChord(symbol).ok);
  const other = measured.filter(({ symbol, pcs }) => soundOf(symbol) !== maskOf(pcs ?? []));
  return [
    {
      what: 'symbols read',
      right: symbols.length - unread.length,
      of: symbols.length,
      wrong: unread,
    },
    {
      what: 'symbols that sound as the dataset says (the rest are conventions)',
      right: measured.length - other.length,
      of: measured.length,
      wrong: other.slice(0, 10).map(({ symbol, dataset }) => `${symbol} (${dataset})`),
    },
  ];
}

function soundOf(symbol: string): number {
  const read = parseChord(symbol);
  return read.ok ? chromaSetOf(read.value) : 0;
}

function maskOf(pcs: readonly number[]): number {
  return pcs.reduce((mask, pc) => mask | (1 << pc), 0);
}

const evaluation: Evaluation = {
  name: 'chord symbols',
  source: 'distinct symbols of the open chord corpora; goal 100 % read',
  unavailable: corpusMissing,
  run,
};

export default evaluation;
