import type { Chord } from '../chord/model.ts';
import { gridOf } from './grid.ts';
import { spread } from './layouts.ts';
import type { Site } from './model.ts';
import { halvedBars } from './slots.ts';
import { along, type Cell, sharing } from './write.ts';

/** One way to divide the time of a held chord between its two and itself. */
export interface Split {
  readonly id: string;
  readonly cells: readonly Cell[];
}

/** A held dominant shares its whole time with its two: once, and in every bar where there are several. */
export function splitsWith(site: Site, two: Chord, five: Chord): readonly Split[] {
  const splits: Split[] = [];
  const whole = spread(site, 2);
  if (whole !== null) splits.push({ id: `whole-${whole.id}`, cells: along(whole, [two, five]) });
  const bars = gridOf(site).bars < 2 ? [] : halvedBars(site);
  if (bars.length > 0) {
    splits.push({ id: 'every-bar', cells: bars.flatMap((bar) => sharing(bar, two, five)) });
  }
  return splits;
}
