import type { Chair } from '../../shared-core/arrangement/band.ts';
import { emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import { errorOf, type Log } from './faults.ts';
import { knowTune } from './tune-text.ts';
import type { ChartInput, Works } from './works.ts';

/** Enough to bring in all that every chart goes through: two kinds of chord, and accidentals. */
const TEXT = 'title: Warm-up\nkey: Eb major\nmeter: 4/4\n\n[A]\n| Ebmaj7 | F7b9 Bb7 |\n';

const CHAIR: Chair = {
  id: 'warm-up',
  name: 'Guitar',
  instrument: 'guitar',
  role: 'comping',
  order: 0,
};

/**
 * Gives a function that makes, the first time it is called, a chart of two bars for nobody. Engraver and fonts
 * take seconds to start on a busy machine; that way the first chart somebody asks for need not wait for them.
 * What cannot start is written to the log, and said to the person by the first chart they ask for.
 */
export function warmerOf(works: () => Promise<Works>, log: Log): () => void {
  let begun = false;
  return () => {
    if (begun) return;
    begun = true;
    works()
      .then((made) => made.chartSvg(warmUpChart()))
      .catch((thrown: unknown) => errorOf(thrown, log, 'warming up for charts'));
  };
}

function warmUpChart(): ChartInput {
  const known = knowTune(TEXT);
  if (!known.ok) throw new Error(known.error.message);
  return {
    ...known.value,
    state: emptyArrangement('Warm-up', 1),
    band: { id: 'warm-up', name: 'Warm-up', chairs: [CHAIR] },
    chair: CHAIR,
    options: {},
    version: '',
    date: '',
  };
}
