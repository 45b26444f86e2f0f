import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';

/** What sounds at a tick of a line that is in order and without gaps (binary search). */
export function harmonyAt(harmony: readonly TimedHarmony[], at: Ticks): TimedHarmony | undefined {
  let low = 0;
  let high = harmony.length - 1;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((harmony[middle]?.start ?? 0) <= at) low = middle;
    else high = middle - 1;
  }
  return harmony[low];
}
