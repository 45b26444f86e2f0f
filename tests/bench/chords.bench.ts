import { parseChord } from '../../shared-core/chord/parse.ts';
import { readWithChordSymbol, readWithTonal } from '../support/chord-libraries.ts';
import { SYMBOLS } from './chords.ts';
import type { Bench } from './measure.ts';

const READS = 9600;

function readAll(read: (text: string) => unknown): void {
  for (let round = 0; round < READS / SYMBOLS.length; round += 1) {
    for (const symbol of SYMBOLS) read(symbol);
  }
}

const benches: readonly Bench[] = [
  { name: `read ${READS} chord symbols`, budget: READS / 1000, run: () => readAll(parseChord) },
  { name: `read ${READS} chord symbols with tonal, to compare`, run: () => readAll(readWithTonal) },
  {
    name: `read ${READS} chord symbols with chord-symbol, to compare`,
    run: () => readAll(readWithChordSymbol),
  },
];

export default benches;
