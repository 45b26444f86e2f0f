import type { Ticks } from '../time/meter.ts';

/**
 * Playing time in seconds: beats x 60 / bpm, the beat being the one the tempo counts.
 * Source: arithmetic of the metronome mark; common practice, no source.
 *
 * @param length what is played, in ticks
 * @param beat ticks of the counted beat: 960 a quarter, 1440 a dotted quarter, 1920 a half
 * @param bpm counted beats a minute, over 0
 * @example secondsOf(32 * 3840, 960, 120) // 64: a 32-bar chorus in 4/4 at 120
 */
export function secondsOf(length: Ticks, beat: Ticks, bpm: number): number {
  if (!(bpm > 0) || !(beat > 0))
    throw new RangeError(`No duration at ${bpm} beats of ${beat} ticks`);
  return ((length / beat) * 60) / bpm;
}

/**
 * Seconds as a clock shows them, to the nearest second; hours only where there are any.
 *
 * @example asClock(204) // '3:24'
 * @example asClock(3671) // '1:01:11'
 */
export function asClock(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  const two = (value: number) => String(value).padStart(2, '0');
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60];
  return hours > 0
    ? `${hours}:${two(minutes)}:${two(whole % 60)}`
    : `${minutes}:${two(whole % 60)}`;
}
