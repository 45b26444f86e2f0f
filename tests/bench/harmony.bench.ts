import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import process from 'node:process';
import { DEVICE_NAMES } from '../../shared-core/analysis/model.ts';
import { planArc } from '../../shared-core/proposals/arc.ts';
import type { Proposal } from '../../shared-core/proposals/model.ts';
import { propose } from '../../shared-core/proposals/propose.ts';
import { understand } from '../../shared-core/proposals/understand.ts';
import type { Tune } from '../../shared-core/tune/model.ts';
import { judgeAfresh, tuneOf } from './judging.ts';
import type { Bench } from './measure.ts';

const BAR = 3840;
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

const COLD_RUNS = 15;

/** Times of the first judging in so many new processes, one after another. */
function firstJudgings(): number[] {
  const once = join(import.meta.dirname, 'judge-once.ts');
  return Array.from({ length: COLD_RUNS }, () =>
    Number(execFileSync(process.execPath, [once], { encoding: 'utf8' })),
  );
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
const underMelody = lazy(() => tuneOf(32, true));

const benches: readonly Bench[] = [
  {
    name: 'understand a 32-bar tune and judge all proposals for 5 choruses, warm',
    budget: 10,
    run: () => judgeAfresh(thirtyTwo(), 5),
  },
  {
    name: 'understand a 32-bar tune with a melody and judge all proposals for 5 choruses, warm',
    budget: 10,
    run: () => judgeAfresh(underMelody(), 5),
  },
  {
    name: 'understand a 32-bar tune and judge all proposals for 5 choruses, cold',
    budget: 40,
    times: async () => firstJudgings(),
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
