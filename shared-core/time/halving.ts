import type { Ticks } from './meter.ts';

/**
 * Index of the last item that starts at or before a tick, found by halving; 0 when all start later or
 * there are none. Items stand in order of start.
 *
 * @example lastStartingBy([{ start: 0 }, { start: 960 }], 1000) // 1
 */
export function lastStartingBy(items: readonly { readonly start: Ticks }[], at: Ticks): number {
  let low = 0;
  let high = items.length - 1;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((items[middle]?.start ?? 0) <= at) low = middle;
    else high = middle - 1;
  }
  return low;
}
