import { type Chroma, modulo } from '../pitch/spelled.ts';

/**
 * Lowest note on which an interval still sounds clear, as MIDI numbers by semitones of the interval.
 * The published lists differ (tests/reference/voicing.json, `low_interval_limits`): ours takes the
 * stricter of the two lists that agree most, the glossary's and the course table's, because a comping
 * voicing that is too high is only thin while one that is too low is mud.
 */
const LOWEST: Readonly<Record<number, number>> = {
  1: 52,
  2: 51,
  3: 48,
  4: 47,
  5: 46,
  6: 35,
  7: 37,
  8: 41,
  9: 41,
  10: 41,
  11: 41,
  13: 40,
  14: 39,
  15: 36,
  16: 34,
};

/** Lowest clear MIDI note under an interval of so many semitones; 0 where the lists name none. */
export function lowestUnder(semitones: number): number {
  return LOWEST[semitones] ?? 0;
}

/**
 * How many semitones a voicing lies below the low interval limits, 0 when it is clear. The limits are a
 * warning and not an error, so this is a cost. Only the two lowest notes are tested: what is above them is
 * higher than any limit.
 */
export function mud(midi: readonly number[]): number {
  const [low, next] = midi;
  if (low === undefined || next === undefined) return 0;
  return Math.max(0, lowestUnder(next - low) - low);
}

/**
 * {@link mud} of a voicing of a chord on this root: where the bottom note is another one, the limits are also
 * tested as if the root stood just below it, for that is what the ear hears.
 * Source: tests/reference/voicing.json, rule `lil-root`.
 *
 * @param root chroma of the root, 0-11
 * @example mudOver(0, [52, 55]) // E3 G3 over an unheard C3 (48): major thirds are clear from B2 (47) up, so 0
 */
export function mudOver(root: Chroma, midi: readonly number[]): number {
  const bottom = midi[0];
  if (bottom === undefined) return 0;
  const up = modulo(bottom - root, 12);
  return mud(midi) + (up === 0 ? 0 : Math.max(0, lowestUnder(up) - (bottom - up)));
}
