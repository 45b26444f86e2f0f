import { beatsPerBar, beatTicks, type Ticks } from '../time/meter.ts';
import { barAt, gridOf, isStrong, placeName, weightAt } from './grid.ts';
import type { Site } from './model.ts';

/**
 * Places in a span for one chord or two: where a chord may leave home and come back, and what the end of
 * the span may be given to. Small sets, the usual place first; which places are usual is common practice,
 * no source.
 */

/** A place for a chord that leaves and comes back. */
export interface Slot {
  /** Bar and beat in the span, from 1: `b3`, `b1.3`, `b2-3`. */
  readonly id: string;
  readonly at: Ticks;
  readonly end: Ticks;
  /** Where two chords sharing the slot change; null when it is too short to share. */
  readonly middle: Ticks | null;
  /** The ear comes home to the held chord inside the span, or to the next chord at its end. */
  readonly into: 'held' | 'next';
  readonly size: 'beat' | 'half' | 'bar' | 'long';
}

function slot(site: Site, at: Ticks, end: Ticks, size: Slot['size'], id?: string): Slot {
  return {
    id: id ?? placeName(site, at),
    at,
    end,
    middle: middleOf(site, at, end),
    into: end === site.length ? 'next' : 'held',
    size,
  };
}

/**
 * The place nearest the middle where a second chord can fall: a dividing point, else a beat where the bar
 * divides evenly. In five nothing changes inside a group: a two-five takes the bar, three and two.
 */
function middleOf(site: Site, at: Ticks, end: Ticks): Ticks | null {
  const { lines, halves } = gridOf(site);
  const inside = (place: Ticks): boolean => place > at && place < end;
  const line = lines.filter(inside);
  if (line.length > 0) return line[Math.floor((line.length - 1) / 2)] ?? null;
  const half = halves.filter(inside);
  if (half.length > 0) return half[0] ?? null;
  const meter = barAt(site, at)?.meter ?? site.meter;
  const beat = beatTicks(meter);
  return end - at === 2 * beat && beatsPerBar(meter) % 2 === 0 ? at + beat : null;
}

/** Bar `number` of the span, from 1. */
function wholeBar(site: Site, number: number): Slot | null {
  const { lines } = gridOf(site);
  const at = lines[number - 1];
  const end = lines[number];
  return at === undefined || end === undefined ? null : slot(site, at, end, 'bar');
}

/** The second half of bar `number`. */
function secondHalf(site: Site, number: number): Slot | null {
  const { lines, halves } = gridOf(site);
  const end = lines[number];
  if (end === undefined) return null;
  const at = halves[halves.indexOf(end) - 1];
  const line = lines[number - 1];
  return at === undefined || line === undefined || at <= line ? null : slot(site, at, end, 'half');
}

/** The first half of bar `number`, where the dividing point is strong enough to come home on. */
function firstHalf(site: Site, number: number): Slot | null {
  const { lines, halves } = gridOf(site);
  const at = lines[number - 1];
  if (at === undefined) return null;
  const end = halves[halves.indexOf(at) + 1];
  if (end === undefined || end >= (lines[number] ?? 0) || !isStrong(site, end)) return null;
  return slot(site, at, end, 'half', `${placeName(site, at)}-half`);
}

/** The beat before the dividing point of bar `number`: beat 2 of 4/4, home on beat 3. */
function beatBeforeHalf(site: Site, number: number): Slot | null {
  const first = firstHalf(site, number);
  if (first === null) return null;
  const beat = beatTicks(barAt(site, first.at)?.meter ?? site.meter);
  const at = first.end - beat;
  return at <= first.at ? null : slot(site, at, first.end, 'beat');
}

/** Bars `from` to `to` together. */
function barsTogether(site: Site, from: number, to: number): Slot | null {
  const { lines } = gridOf(site);
  const at = lines[from - 1];
  const end = lines[to];
  if (at === undefined || end === undefined || from < 1) return null;
  return slot(site, at, end, 'long', `b${from}-${to}`);
}

const kept = <T>(list: readonly (T | null)[]): readonly T[] =>
  list.filter((entry): entry is T => entry !== null);

/**
 * Places for one chord that leaves home and comes back on a strong beat: a small set, the usual one
 * first. `homeNext` says that the chord after the span is home too, so that the last bar is open.
 */
export function awaySlots(site: Site, homeNext: boolean): readonly Slot[] {
  const n = gridOf(site).bars;
  const open = homeNext && gridOf(site).endsOnLine;
  const last = open ? wholeBar(site, n) : null;
  if (n <= 1) return kept([open ? secondHalf(site, 1) : null, beatBeforeHalf(site, 1)]);
  if (n === 2) {
    return kept([secondHalf(site, 1), firstHalf(site, 2), last, open ? secondHalf(site, 2) : null]);
  }
  if (n === 3) return kept([wholeBar(site, 2), secondHalf(site, 2), last]);
  if (n === 4) return kept([wholeBar(site, 3), wholeBar(site, 2), secondHalf(site, 3), last]);
  return kept([
    wholeBar(site, n - 1),
    wholeBar(site, Math.ceil(n / 2)),
    secondHalf(site, n - 1),
    last,
  ]);
}

/** The opening of the span, for a chord that delays the held one: its first bar, or the first half of a single bar. */
export function opening(site: Site): Slot | null {
  const n = gridOf(site).bars;
  return n <= 1 ? firstHalf(site, 1) : n === 2 || n === 4 ? wholeBar(site, 1) : firstHalf(site, 1);
}

/** Places for two chords that leave together and come home. */
export function pairSlots(site: Site, homeNext: boolean): readonly Slot[] {
  const n = gridOf(site).bars;
  const open = homeNext && gridOf(site).endsOnLine;
  const last = open ? wholeBar(site, n) : null;
  const pairs: readonly (Slot | null)[] =
    n <= 1
      ? [open ? secondHalf(site, 1) : null]
      : n === 2
        ? [secondHalf(site, 1), last]
        : n === 3
          ? [wholeBar(site, 2), last]
          : [
              barsTogether(site, n - 2, n - 1),
              wholeBar(site, n - 1),
              last,
              open ? barsTogether(site, n - 1, n) : null,
            ];
  return kept(pairs).filter((pair) => pair.middle !== null);
}

/** The second half of every other bar: a movement that rocks through a vamp of four bars or more. */
export function rockingSlots(site: Site): readonly Slot[] {
  const n = gridOf(site).bars;
  if (n < 4) return [];
  const slots: Slot[] = [];
  for (let bar = 1; bar < n; bar += 2) {
    const found = secondHalf(site, bar);
    if (found !== null) slots.push(found);
  }
  return slots;
}

/** Every bar of the span that can be shared by two chords. */
export function halvedBars(site: Site): readonly Slot[] {
  const bars: Slot[] = [];
  for (let number = 1; number <= gridOf(site).bars; number += 1) {
    const bar = wholeBar(site, number);
    if (bar?.middle != null) bars.push(bar);
  }
  return bars;
}

/** What the end of the span may be given to. */
export type TailSize = 'beat' | 'half' | 'bar' | 'two-bars';

/** The last beat, half bar, bar or two bars; null when it is not there, or when it would take the whole span and may not. */
export function tail(site: Site, size: TailSize, whole = false): Slot | null {
  const at = tailStart(site, size);
  if (at === null || at < 0 || (at === 0 && !whole)) return null;
  return slot(site, at, site.length, size === 'two-bars' ? 'long' : size);
}

function tailStart(site: Site, size: TailSize): Ticks | null {
  const { halves, lines, endsOnLine, bars } = gridOf(site);
  const half = halves.at(-2) ?? null;
  if (half === null || size === 'half') return half;
  if (size === 'beat') {
    const beat = beatTicks(barAt(site, half)?.meter ?? site.meter);
    return site.length - half > beat ? site.length - beat : null;
  }
  const back = size === 'bar' ? 1 : 2;
  if (endsOnLine) return bars >= back ? (lines[bars - back] ?? null) : null;
  return halves.at(-1 - 2 * back) ?? null;
}

/** Tails of these sizes that are there. */
export function tails(site: Site, sizes: readonly TailSize[], whole = false): readonly Slot[] {
  return kept(sizes.map((size) => tail(site, size, whole)));
}

/** Whether a dominant from `at` to the span's end sounds through no stronger beat than the one it resolves on. */
export function leads(site: Site, at: Ticks): boolean {
  const arrival = weightAt(site, site.length);
  // Nothing is stronger than a bar line.
  if (arrival === 4) return true;
  if (weightAt(site, at) > arrival) return false;
  return gridOf(site).halves.every(
    (place) => place <= at || place >= site.length || weightAt(site, place) <= arrival,
  );
}

/** Places at the end for one chord that leads on: half a bar and a bar, or a beat where the next chord comes in mid-bar. */
export function leadTails(site: Site): readonly Slot[] {
  const usual = tails(site, ['half', 'bar']).filter((found) => leads(site, found.at));
  return usual.length > 0 ? usual : tails(site, ['beat']).filter((found) => leads(site, found.at));
}

/** Places at the end for two chords that lead on together. With `whole` they may take the whole span. */
export function leadPairs(site: Site, whole = false): readonly Slot[] {
  const { bars } = gridOf(site);
  const sizes: readonly TailSize[] =
    bars <= 1
      ? whole
        ? ['bar', 'half']
        : ['half']
      : bars === 2
        ? whole
          ? ['two-bars', 'bar', 'half']
          : ['bar', 'half']
        : ['bar', 'two-bars'];
  return tails(site, sizes, whole).filter(
    (found) => found.middle !== null && leads(site, found.middle),
  );
}
