/**
 * Meter and musical time. All time is whole ticks, 960 to the quarter note: 960 = 2^6 x 3 x 5, so
 * halves down to sixty-fourths, triplets and quintuplets of every common note value are whole.
 */

/** Ticks in a quarter note. */
export const TICKS_PER_QUARTER = 960;

/** Whole ticks, 960 to the quarter note. */
export type Ticks = number;

/** A time signature. */
export interface Meter {
  /** Upper figure, 1-32. */
  readonly count: number;
  /** Lower figure: 1, 2, 4, 8, 16 or 32. */
  readonly unit: number;
}

/** Whether the meter is counted in dotted beats (6/8, 9/8, 12/8 and their kin; not 3/8, which is counted in one or three). */
export function isCompound(meter: Meter): boolean {
  return meter.unit >= 8 && meter.count % 3 === 0 && meter.count > 3;
}

/** Ticks in a whole bar: 4/4 is 3840, 6/8 is 2880. */
export function barTicks(meter: Meter): Ticks {
  return (meter.count * TICKS_PER_QUARTER * 4) / meter.unit;
}

/** Ticks in one counted beat: 960 in 4/4, 1440 in 6/8. */
export function beatTicks(meter: Meter): Ticks {
  const unit = (TICKS_PER_QUARTER * 4) / meter.unit;
  return isCompound(meter) ? unit * 3 : unit;
}

/** Counted beats in a bar: 4 in 4/4, 2 in 6/8, 4 in 12/8, 5 in 5/4. */
export function beatsPerBar(meter: Meter): number {
  return barTicks(meter) / beatTicks(meter);
}

/** Name as written: `4/4`. */
export function meterName(meter: Meter): string {
  return `${meter.count}/${meter.unit}`;
}

/** Reads `4/4`, `C` (common time) or `C|` (cut time); null for anything that is no usable meter. */
export function parseMeter(text: string): Meter | null {
  const trimmed = text.trim();
  if (trimmed === 'C') return { count: 4, unit: 4 };
  if (trimmed === 'C|') return { count: 2, unit: 2 };
  const match = /^(\d{1,2})\s*\/\s*(\d{1,2})$/.exec(trimmed);
  if (!match) return null;
  const count = Number(match[1]);
  const unit = Number(match[2]);
  if (count < 1 || count > 32 || ![1, 2, 4, 8, 16, 32].includes(unit)) return null;
  return { count, unit };
}

/** Same figures. */
export function sameMeter(a: Meter, b: Meter): boolean {
  return a.count === b.count && a.unit === b.unit;
}

/**
 * Metric weight of a place in a bar: 4 the bar line, 3 a secondary strong beat (3 in 4/4, 4 in 6/4 and
 * in 5/4 counted 3+2), 2 another counted beat, 1 half a beat, 0 anything finer. Common practice, no source.
 */
export function metricWeight(meter: Meter, at: Ticks): number {
  if (at === 0) return 4;
  const beat = beatTicks(meter);
  if (at % beat !== 0)
    return at % (beat / 2) === 0 || (isCompound(meter) && at % (beat / 3) === 0) ? 1 : 0;
  return strongBeats(meter).includes(at / beat) ? 3 : 2;
}

/** Zero-based beats that carry a secondary accent: 2 in 4/4, 3 in 5/4 (3+2), none in 2/4 and 3/4. */
export function strongBeats(meter: Meter): readonly number[] {
  const beats = beatsPerBar(meter);
  if (beats === 4) return [0, 2];
  if (beats === 5) return [0, 3];
  if (beats === 6) return [0, 3];
  if (beats === 7) return [0, 4];
  if (beats === 8) return [0, 4];
  return [0];
}
