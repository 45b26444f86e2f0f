import {
  barTicks,
  beatsPerBar,
  beatTicks,
  type Meter,
  metricWeight,
  strongBeats,
  type Ticks,
} from '../time/meter.ts';
import type { FormBar } from '../tune/model.ts';
import type { Site } from './model.ts';

/**
 * Where in a span changes may fall. Devices never count ticks: they ask for a bar, half a bar, the tail
 * of the span, or for the span dealt out between so many chords.
 *
 * A bar divides where players feel its second half: beat 3 of 4/4, beat 3 of 3/4 (two and one), beat 4
 * of 5/4 (three and two), the second dotted beat of 6/8, the third of 12/8. Common practice, no source.
 */
export interface Grid {
  /** Bar lines of the span from 0 on; 0 itself always, the end only when it is a bar line. */
  readonly lines: readonly Ticks[];
  /** Bar lines and the dividing points between them, from 0 to the span's end, both included. */
  readonly halves: readonly Ticks[];
  /** Bars with both lines inside the span (a span that starts in mid-bar counts that rest as one). */
  readonly bars: number;
  /** Whether the span ends on a bar line. */
  readonly endsOnLine: boolean;
}

/** Ticks from a bar line to its dividing point; null for a bar of one beat. */
export function splitTicks(meter: Meter): Ticks | null {
  const beats = beatsPerBar(meter);
  if (beats < 2) return null;
  const strong = strongBeats(meter)[1];
  return (strong ?? beats - 1) * beatTicks(meter);
}

const grids = new WeakMap<Site, Grid>();

/** The grid of a site, worked out once. */
export function gridOf(site: Site): Grid {
  let grid = grids.get(site);
  if (grid === undefined) {
    grid = makeGrid(site);
    grids.set(site, grid);
  }
  return grid;
}

/** Ticks a bar's first note lies after its counted start: over 0 for a pickup or a split bar. */
function pickupShift(bar: FormBar): Ticks {
  return bar.number === 0 ? Math.max(0, barTicks(bar.meter) - bar.length) : 0;
}

function makeGrid(site: Site): Grid {
  const lines: Ticks[] = [0];
  const halves: Ticks[] = [0];
  const add = (list: Ticks[], at: Ticks): void => {
    if (at > (list.at(-1) ?? 0) && at <= site.length) list.push(at);
  };
  for (const bar of site.bars) {
    add(lines, bar.start);
    add(halves, bar.start);
    const split = splitTicks(bar.meter);
    if (split === null) continue;
    const at = split - pickupShift(bar);
    if (at > 0 && at < bar.length) add(halves, bar.start + at);
  }
  const last = site.bars.at(-1);
  const endsOnLine = last !== undefined && last.start + last.length === site.length;
  if (endsOnLine) add(lines, site.length);
  add(halves, site.length);
  return { lines, halves, bars: lines.length - 1, endsOnLine };
}

/** Metric weight of a place in the span (see `metricWeight`); the span's end counts where the next chord falls. */
export function weightAt(site: Site, at: Ticks): number {
  for (const bar of site.bars) {
    if (at < bar.start || at >= bar.start + bar.length) continue;
    return metricWeight(bar.meter, at - bar.start + pickupShift(bar));
  }
  return 4;
}

/** A strong beat: the bar line or the bar's secondary accent. Returns land there and nowhere else. */
export function isStrong(site: Site, at: Ticks): boolean {
  return weightAt(site, at) >= 3;
}

/** Counted beats between two places of the span (by the meter of the first). */
export function beatsIn(site: Site, from: Ticks, to: Ticks): number {
  return (to - from) / beatTicks(barAt(site, from)?.meter ?? site.meter);
}

/** The bar a place of the span lies in. */
export function barAt(site: Site, at: Ticks): FormBar | undefined {
  return site.bars.find((bar) => at >= bar.start && at < bar.start + bar.length);
}

/** Name of a place in the span: bar, and the beat when it is not the first. */
export function placeName(site: Site, at: Ticks): string {
  const grid = gridOf(site);
  let bar = 0;
  while (bar + 1 < grid.lines.length && (grid.lines[bar + 1] ?? Infinity) <= at) bar += 1;
  const into = at - (grid.lines[bar] ?? 0);
  if (into === 0) return `b${bar + 1}`;
  return `b${bar + 1}.${into / beatTicks(barAt(site, at)?.meter ?? site.meter) + 1}`;
}
