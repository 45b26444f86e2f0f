import { lastStartingBy } from '../time/halving.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';

/** What sounds at a tick of a line that is in order and without gaps. */
export function harmonyAt(harmony: readonly TimedHarmony[], at: Ticks): TimedHarmony | undefined {
  return harmony[lastStartingBy(harmony, at)];
}
