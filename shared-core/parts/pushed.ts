import { symbolOf } from '../chord/format.ts';
import { beatTicks, type Ticks } from '../time/meter.ts';
import type { FormBar, TimedHarmony } from '../tune/model.ts';
import { soundingIn, stretchOf } from './timeline.ts';

/**
 * A chord that the chart brings in early: it begins between the beats, or on the last beat, and goes on over
 * the bar line.
 */
export function isPushed(
  event: Pick<TimedHarmony, 'start' | 'length'>,
  bar: Pick<FormBar, 'start' | 'length' | 'meter'>,
): boolean {
  const end = bar.start + bar.length;
  const beat = beatTicks(bar.meter);
  if (event.start <= bar.start || event.start + event.length <= end) return false;
  return (end - event.start) % beat !== 0 || event.start >= end - beat;
}

/**
 * Where in a bar the band brings the next bar's chord in early; null where it does not. A chord said again
 * after the bar line is one chord.
 *
 * @param start of the bar in the line, where `bar` counts from its chorus
 * @returns ticks from the bar line
 */
export function pushIn(band: readonly TimedHarmony[], start: Ticks, bar: FormBar): Ticks | null {
  const sounding = soundingIn(stretchOf(band, start, bar.length));
  const last = sounding.at(-1);
  const next = soundingIn(stretchOf(band, start + bar.length, 1))[0];
  if (last?.harmony.kind !== 'chord' || !next) return null;
  const symbol = symbolOf(last.harmony);
  const before = sounding.at(-2);
  const known = before !== undefined && symbolOf(before.harmony) === symbol;
  if (known || symbolOf(next.harmony) !== symbol) return null;
  const event = { start: start + last.at, length: bar.length - last.at + 1 };
  return isPushed(event, { ...bar, start }) ? last.at : null;
}
