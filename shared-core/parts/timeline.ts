import { symbolOf } from '../chord/format.ts';
import type { Harmony } from '../chord/model.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';
import type { PartHarmony } from './model.ts';

/** What one layer holds in a stretch: chords that begin in it, and the one that rings into it. */
export interface Stretch {
  readonly chords: readonly PartHarmony[];
  readonly carried: Harmony | null;
}

/** Cuts a line of harmonies at [start, start + length); times then count from its start. */
export function stretchOf(line: readonly TimedHarmony[], start: Ticks, length: Ticks): Stretch {
  const end = start + length;
  let at = firstEndingAfter(line, start);
  const first = line[at];
  const carried = first && first.start < start ? first.harmony : null;
  if (carried) at++;
  const chords: PartHarmony[] = [];
  for (let event = line[at]; event && event.start < end; event = line[++at])
    chords.push({ at: event.start - start, harmony: event.harmony });
  return { chords, carried };
}

/** Index of the first event that sounds at or after a tick; by halving. */
function firstEndingAfter(line: readonly TimedHarmony[], at: Ticks): number {
  let [low, high] = [0, line.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    const event = line[middle];
    if (event && event.start + event.length <= at) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The harmonies of a stretch from its very start: the carried one first where nothing begins there. */
export function soundingIn(stretch: Stretch): readonly PartHarmony[] {
  if (!stretch.carried || stretch.chords[0]?.at === 0) return stretch.chords;
  return [{ at: 0, harmony: stretch.carried }, ...stretch.chords];
}

/** Whether two stretches sound the same at every moment (restated chords aside). */
export function sameSound(a: Stretch, b: Stretch): boolean {
  const key = (stretch: Stretch): string => {
    let last = '';
    return soundingIn(stretch)
      .flatMap(({ at, harmony }) => {
        const symbol = symbolOf(harmony);
        if (symbol === last) return [];
        last = symbol;
        return [`${at} ${symbol}`];
      })
      .join('|');
  };
  return key(a) === key(b);
}
