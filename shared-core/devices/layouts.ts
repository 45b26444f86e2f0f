import { beatsPerBar, beatTicks, type Ticks } from '../time/meter.ts';
import { gridOf } from './grid.ts';
import type { Site } from './model.ts';
import { leads } from './slots.ts';

/** Chord boundaries for several chords in a row: `at[0]` is the first, the last entry is the end. */
export interface Layout {
  readonly id: string;
  readonly at: readonly Ticks[];
}

/**
 * The last chords of the span in even steps: half a bar each, a bar each or two bars each, as many of
 * these as fit; in one bar with a beat for each chord, a beat each. May take the whole span.
 */
export function tailLayouts(site: Site, count: number): readonly Layout[] {
  const { halves, lines, bars, endsOnLine } = gridOf(site);
  const layouts: Layout[] = [];
  const steps = (id: string, places: readonly Ticks[], stride: number): void => {
    const first = places.length - 1 - count * stride;
    const last = places[first + (count - 1) * stride];
    if (first < 0 || last === undefined || !leads(site, last)) return;
    layouts.push({
      id,
      at: Array.from({ length: count + 1 }, (_, i) => places[first + i * stride] ?? 0),
    });
  };
  if (bars === 1 && endsOnLine) layouts.push(...beatLayout(site, count));
  steps('halves', halves, 1);
  if (endsOnLine) {
    steps('bars', lines, 1);
    if (bars > 4) steps('two-bars', lines, 2);
  }
  return layouts;
}

function beatLayout(site: Site, count: number): readonly Layout[] {
  const bar = site.bars[0];
  if (bar === undefined || bar.start !== 0 || beatsPerBar(bar.meter) !== count) return [];
  const beat = beatTicks(bar.meter);
  return [{ id: 'beats', at: Array.from({ length: count + 1 }, (_, i) => i * beat) }];
}

/**
 * Deals the whole span out between so many chords: whole bars where there are enough, else half bars, in
 * one bar beats; what does not divide goes to the last chords. Null when it cannot be done evenly enough.
 */
export function spread(site: Site, count: number): Layout | null {
  const { halves, lines, bars } = gridOf(site);
  const end = site.length;
  const lined = bars >= count;
  const places = lined ? lines : halves;
  const steps = places.length - 1;
  if (steps < count) return bars === 1 ? (beatLayout(site, count)[0] ?? null) : null;
  const each = Math.floor(steps / count);
  const longer = steps - each * count;
  const at: Ticks[] = [];
  for (let i = 0, place = 0; i < count; i += 1) {
    at.push(places[place] ?? 0);
    place += each + (i >= count - longer ? 1 : 0);
  }
  at.push(end);
  return { id: lined ? 'bars' : 'halves', at };
}
