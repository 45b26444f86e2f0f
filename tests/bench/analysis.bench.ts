import { understand } from '../../shared-core/proposals/understand.ts';
import type { Tune } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { type CorpusName, corpus, corpusMissing, tuneOf } from '../evaluate/corpus.ts';
import type { Bench } from './measure.ts';

/** Sixteen invented bars with a little of everything: a held tonic, chains, a backdoor, a turnaround. */
const SIXTEEN = [
  '| Bbmaj7 | % | Cm7 | F7 | Dm7 G7 | Cm7 B7 | Bbmaj7 | Fm7 Bb7 ',
  '| Ebmaj7 | Ebm7 Ab7 | Bbmaj7 C#dim7 | Dm7 G7 | C7 | % | Cm7 | F7 ',
].join('');

/** The sixteen bars so many times over, a new section every sixteen. */
function tuneOfBars(bars: number): Tune {
  const sections = Array.from({ length: bars / 16 }, (_, index) => `[${index + 1}]\n${SIXTEEN}|`);
  const { tune } = readTune(sections.join('\n'));
  if (tune === null) throw new Error('the bench tune is not read');
  return tune;
}

const NAMES: readonly CorpusName[] = ['jht', 'wjd', 'choro'];
let tunes: readonly Tune[] = [];

const growth = [16, 64, 256, 1024].map((bars): Bench => {
  const tune = tuneOfBars(bars);
  return {
    name: `understand ${bars} bars (at most linear: 16 bars x ${bars / 16})`,
    run: () => understand(tune),
  };
});

const benches: readonly Bench[] = [
  {
    name: 'understand all tunes of the open corpora (845; at least 500 a second)',
    budget: 845 * 2,
    unavailable: corpusMissing,
    before: () => {
      tunes = NAMES.flatMap((name) => corpus(name).map(tuneOf));
    },
    run: () => tunes.map(understand),
  },
  ...growth,
];

export default benches;
