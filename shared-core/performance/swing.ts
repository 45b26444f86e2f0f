import { beatTicks, isCompound, type Meter, type Ticks } from '../time/meter.ts';
import type { Division } from '../tune/feel.ts';

/** Shortest time a swung off-beat lasts, in seconds. */
const SHORT_NOTE = 0.1;
/** Widest long:short ratio drummers play, at slow tempi. */
const WIDEST_RATIO = 3.5;

/**
 * Long:short ratio of swung eighths at a tempo.
 *
 * Measured on recorded ride cymbals: the ratio falls about linearly from 3.5 at slow tempi to 1 at fast
 * ones, because from medium tempi up the short note stays near a tenth of a second. Source: A. Friberg
 * and A. Sundstrom, "Swing ratios and ensemble timing in jazz performance", Music Perception 19(3), 2002;
 * the curve's figures are from memory.
 *
 * @param tempo counted beats a minute, over 0
 * @example swingRatio(200) // 2: beats of 300 ms, 200 ms long and 100 ms short
 */
export function swingRatio(tempo: number): number {
  const beat = 60 / tempo;
  const short = Math.max(SHORT_NOTE, beat / (1 + WIDEST_RATIO));
  return Math.max(1, (beat - short) / short);
}

/** Ratio of a division at a tempo: a shuffle is a steady triplet, 2:1. */
export function ratioOf(division: Division, tempo: number): number {
  if (division === 'straight') return 1;
  return division === 'shuffle' ? 2 : swingRatio(tempo);
}

/**
 * Where a written place sounds when the off-beats are late. Swing belongs to the place in the bar: the
 * first half of every beat is stretched and the second squeezed, so written beats stay where they are.
 * Whole ticks in and out, and the order of places never changes. Compound meters are not swung.
 *
 * @param at ticks from the bar line
 * @param ratio long:short, 1 or more
 */
export function swung(at: Ticks, meter: Meter, ratio: number): Ticks {
  if (ratio === 1 || isCompound(meter)) return at;
  const beat = beatTicks(meter);
  const half = beat / 2;
  const inBeat = at % beat;
  const start = at - inBeat;
  const late = (beat * ratio) / (1 + ratio);
  const place =
    inBeat <= half ? (inBeat * late) / half : late + ((inBeat - half) * (beat - late)) / half;
  return start + Math.round(place);
}

/**
 * {@link swung} inside one bar of the form, which may be a pickup: its beats are counted from the end, so
 * that three eighths before the bar line keep their off-beats late. A pickup that begins on an off-beat
 * begins late itself, and the bar line after it stays where it is.
 */
export function swungInBar(
  bar: { readonly meter: Meter; readonly length: Ticks },
  at: Ticks,
  ratio: number,
): Ticks {
  const beat = beatTicks(bar.meter);
  const ahead = (beat - (bar.length % beat)) % beat;
  return swung(at + ahead, bar.meter, ratio) - ahead;
}
