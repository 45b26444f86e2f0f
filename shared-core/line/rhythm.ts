import { metricWeight, type Ticks } from '../time/meter.ts';
import { chance } from './chance.ts';
import type { LineBar, LineDegree } from './model.ts';

/** A place where the line sounds a note. */
export interface Onset {
  readonly start: Ticks;
  readonly length: Ticks;
  /** Index of its bar. */
  readonly bar: number;
  /** Metric weight of the place, 0-4. */
  readonly weight: number;
  /** The last note before a breath. */
  readonly ends: boolean;
}

/** The eighth: the grid of every line. Swing is a matter of performance. */
export const GRID: Ticks = 480;

interface Manner {
  /** How likely a note begins on a beat, and between beats. */
  readonly onBeat: number;
  readonly offBeat: number;
  /** Bars of a phrase: least and most. */
  readonly phrase: readonly [number, number];
  /** Eighths of rest after a phrase. */
  readonly rest: number;
  /** Longest note in eighths. */
  readonly longest: number;
}

/** How busy a line is; horns breathe at the rests. Common practice, no source; composed for this program. */
const MANNERS: Readonly<Record<LineDegree, Manner>> = {
  plain: { onBeat: 0.7, offBeat: 0.12, phrase: [2, 2], rest: 4, longest: 4 },
  medium: { onBeat: 0.85, offBeat: 0.62, phrase: [2, 3], rest: 3, longest: 3 },
  busy: { onBeat: 0.97, offBeat: 0.92, phrase: [3, 4], rest: 2, longest: 2 },
};

/**
 * The rhythm of a line: phrases with a breath after each, notes on the eighth grid between. Every forced
 * place (a chord that must be spelled, the way home) sounds, breath or not. Deterministic by seed.
 *
 * @param forced ticks at which a note must begin
 */
export function rhythmOf(
  bars: readonly LineBar[],
  degree: LineDegree,
  seed: number,
  forced: ReadonlySet<Ticks>,
): Onset[] {
  const manner = MANNERS[degree];
  const breaths = breathsOf(bars, manner, seed, forced);
  const starts: { at: Ticks; bar: number; weight: number }[] = [];
  bars.forEach((bar, index) => {
    for (let at = 0; at < bar.length; at += GRID) {
      const place = bar.start + at;
      const weight = metricWeight(bar.meter, at);
      const likely = weight >= 2 ? manner.onBeat : manner.offBeat;
      const sounds = !breaths.has(place) && chance(seed, place, 1) < likely;
      if (sounds || forced.has(place)) starts.push({ at: place, bar: index, weight });
    }
  });
  const last = bars.at(-1);
  const end = last ? last.start + last.length : 0;
  return starts.map(({ at, bar, weight }, index) => {
    const next = starts[index + 1]?.at ?? end;
    const length = Math.min(next - at, manner.longest * GRID, untilBreath(at, breaths, next));
    return {
      start: at,
      length,
      bar,
      weight,
      ends: next - at > length || index === starts.length - 1,
    };
  });
}

/**
 * Grid places at which nothing new begins, so that the player can breathe. A breath ends near a bar line and
 * seldom on it: phrases begin before the bar line, on it, or after it.
 */
function breathsOf(
  bars: readonly LineBar[],
  manner: Manner,
  seed: number,
  forced: ReadonlySet<Ticks>,
): ReadonlySet<Ticks> {
  const breaths = new Set<Ticks>();
  const [least, most] = manner.phrase;
  let index = 0;
  for (let phrase = 0; index < bars.length; phrase++) {
    index += least + Math.floor(chance(seed, phrase, 2) * (most - least + 1));
    const bar = bars[Math.min(index, bars.length) - 1];
    if (!bar) break;
    const barLine = bar.start + bar.length;
    const moved = Math.floor(chance(seed, phrase, 4) * 4) - 1;
    const wanted = restBefore(barLine + (index < bars.length ? moved : 0) * GRID, manner.rest);
    const clear = wanted.every((place) => !forced.has(place));
    for (const place of clear ? wanted : restBefore(barLine, manner.rest)) breaths.add(place);
  }
  return breaths;
}

function restBefore(end: Ticks, eighths: number): Ticks[] {
  return Array.from({ length: eighths }, (_, step) => end - (step + 1) * GRID);
}

function untilBreath(at: Ticks, breaths: ReadonlySet<Ticks>, next: Ticks): Ticks {
  for (let place = at + GRID; place < next; place += GRID)
    if (breaths.has(place)) return place - at;
  return Number.POSITIVE_INFINITY;
}
