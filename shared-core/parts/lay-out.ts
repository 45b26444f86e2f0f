import { chorusesInOrder } from '../arrangement/fold.ts';
import type { ArrangementState, Direction } from '../arrangement/model.ts';
import type { Chorus, FormBar } from '../tune/model.ts';
import type { BarDirection } from './content.ts';

/** Choruses (0-based) in which a chair is told to lay out from the first bar to the last. */
export function laidOutChoruses(
  chorus: Chorus,
  state: ArrangementState,
  chair: string,
): ReadonlySet<number> {
  const own = Object.values(state.directions).filter((direction) => direction.chair === chair);
  const out = chorusesInOrder(state).filter(({ id }) => {
    const here = own.filter((direction) => direction.chorus === id);
    return chorus.bars.every((bar) => laysOut(here, bar));
  });
  return new Set(out.map(({ order }) => order));
}

/** Whether a bar is silent under the instructions of its chorus: told to lay out in all of it. */
export function laysOut(directions: readonly Direction[], bar: FormBar): boolean {
  return directions.some(
    ({ words, start, length }) =>
      words === 'lay out' && start <= bar.start && start + length >= bar.start + bar.length,
  );
}

/**
 * Where the playing goes on, said over the last bar of a rest inside a chorus: `in at B`, `in at bar 21`;
 * nothing elsewhere.
 *
 * @param directions of the chair in this chorus
 */
export function entranceWords(
  { bars }: Chorus,
  directions: readonly Direction[],
  bar: FormBar,
): readonly BarDirection[] {
  const next = bars[bar.index + 1];
  if (!next || !laysOut(directions, bar) || laysOut(directions, next)) return [];
  const named = next.startsSection && next.label !== '';
  const words = `in at ${named ? next.label : `bar ${next.number}`}`;
  return [{ at: 0, words, begins: true, lead: false, events: null }];
}
