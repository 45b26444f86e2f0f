import { DEVICE_NAMES } from '../../shared-core/analysis/model.ts';
import { planArc } from '../../shared-core/proposals/arc.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import { propose } from '../../shared-core/proposals/propose.ts';
import { understand } from '../../shared-core/proposals/understand.ts';
import type { Tune } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import type { Bench } from './measure.ts';

const BAR = 3840;
const SECTION = [
  '| Bbmaj7 | % | % | % | Ebmaj7 | Ab7 | Dm7 | G7 |',
  '| Cm7 | % | F7 | % | Bbmaj7 | Gm7 | Cm7 | F7 |',
  '| Ebm7 | Ab7 | Dbmaj7 | % | Dm7b5 | G7 | Cm7 | F7 |',
  '| Bbmaj7 | % | % | % | Ebmaj7 | Ab7 | Dm7 G7 | Cm7 F7 |',
];

/** A tune of so many bars, made of eight-bar lines with held stretches. */
function tuneOf(bars: number): Tune {
  const lines = Array.from(
    { length: bars / 8 },
    (_, index) =>
      `[${String.fromCharCode(65 + (index % 26))}${Math.floor(index / 26) || ''}]\n${SECTION[index % 4]}`,
  );
  const { tune } = readTune(
    `title: Bench\nkey: Bb major\nmeter: 4/4\ntempo: 148\n${lines.join('\n')}\n`,
  );
  if (!tune) throw new Error('The bench tune was not read');
  return tune;
}

/** Understands a tune afresh and judges every proposal for so many choruses: nothing remembered from before. */
function judgeAfresh(tune: Tune, choruses: number): void {
  const analysis = understand(tune);
  if (!analysis.ok) throw new Error(analysis.error.code);
  for (let chorus = 0; chorus < choruses; chorus += 1)
    propose(analysis.value, { tempo: 148, chorus });
}

/** Five hundred candidates over sixteen spans: figures from a fixed sequence, so that every run is alike. */
function arcCandidates(): Proposal[] {
  let seed = 1;
  const next = () => {
    seed = (seed * 1103515245 + 12345) & 0x7fffffff;
    return seed / 0x7fffffff;
  };
  const [sample] = propose(analysed(tuneOf(8)), { chorus: 1 });
  if (!sample) throw new Error('The bench tune has no proposals');
  return Array.from({ length: 500 }, (_, index) => ({
    ...sample,
    id: `p${index}`,
    device: DEVICE_NAMES[index % DEVICE_NAMES.length] ?? sample.device,
    degree: (['note', 'triad', 'seventh', 'full'] as const)[index % 4] ?? 'triad',
    span: `s${index % 16}`,
    peak: next(),
    score: next(),
  }));
}

function analysed(tune: Tune) {
  const analysis = understand(tune);
  if (!analysis.ok) throw new Error(analysis.error.code);
  return analysis.value;
}

function planOnce(candidates: readonly Proposal[]): void {
  const spans = Array.from({ length: 16 }, (_, index) => ({
    id: `s${index}`,
    start: index * 4 * BAR,
    length: (1 + (index % 4)) * BAR,
  }));
  const choruses = Array.from({ length: 12 }, (_, index) => ({ intensity: index % 6, candidates }));
  const plan = planArc({ spans, choruses });
  if (!plan.ok) throw new Error(plan.error.code);
}

const lazy = <T>(make: () => T): (() => T) => {
  let made: T | undefined;
  return () => {
    made ??= make();
    return made;
  };
};
const candidates = lazy(arcCandidates);
const thirtyTwo = lazy(() => tuneOf(32));

const benches: readonly Bench[] = [
  {
    name: 'understand a 32-bar tune and judge every proposal for 5 choruses',
    budget: 10,
    run: () => judgeAfresh(thirtyTwo(), 5),
  },
  { name: 'understand a 32-bar tune', budget: 2, run: () => analysed(thirtyTwo()) },
  {
    name: 'plan an arc over 12 choruses of 64 bars with 500 candidates',
    budget: 30,
    run: () => planOnce(candidates()),
  },
  ...[16, 64, 256, 1024].map((bars): Bench => {
    const tune = lazy(() => tuneOf(bars));
    return {
      name: `growth: understand and propose, ${bars} bars`,
      run: () => judgeAfresh(tune(), 1),
    };
  }),
];

export default benches;
