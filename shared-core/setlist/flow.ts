import { type Key, sameKey } from '../pitch/key.ts';
import { chromaOf, modulo } from '../pitch/spelled.ts';

/** What decides how one tune follows another. */
export interface FlowSide {
  readonly key: Key;
  /** Quarter notes a minute, so that tunes counted in other beats compare. */
  readonly quarterBpm: number;
  readonly feel: string | null;
}

/** The way from one tonic to another, by semitones up, the shorter way round. Interval names of common practice. */
const STEPS: readonly string[] = [
  'same tonic',
  'up a semitone',
  'up a tone',
  'up a minor third',
  'up a major third',
  'up a fourth',
  'a tritone away',
  'down a fourth',
  'down a major third',
  'down a minor third',
  'down a tone',
  'down a semitone',
];

/** Tempos nearer than this share are heard as one tempo (an estimate from playing, no source). */
const SAME_TEMPO = 0.05;

/**
 * How a tune follows the one before it, in words for the set sheet.
 *
 * @example flowWords(bluesInBbAt120, balladInEbAt60) // 'up a fourth, half as fast'
 */
export function flowWords(before: FlowSide, after: FlowSide): string {
  return `${keyWords(before.key, after.key)}, ${tempoWords(before.quarterBpm, after.quarterBpm)}`;
}

/** From one key to another: `same key`, `relative minor`, `up a fourth`, `up a tone to minor`. */
export function keyWords(before: Key, after: Key): string {
  if (sameKey(before, after)) return 'same key';
  const step = modulo(chromaOf(after.tonic) - chromaOf(before.tonic), 12);
  if (before.mode === after.mode) return step === 0 ? 'same key' : (STEPS[step] ?? '');
  if (before.mode === 'major' && step === 9) return 'relative minor';
  if (before.mode === 'minor' && step === 3) return 'relative major';
  return `${STEPS[step]} to ${after.mode}`;
}

function tempoWords(before: number, after: number): string {
  const ratio = after / before;
  if (Math.abs(ratio - 1) < SAME_TEMPO) return 'same tempo';
  if (Math.abs(ratio - 2) < SAME_TEMPO * 2) return 'twice as fast';
  if (Math.abs(ratio - 0.5) < SAME_TEMPO / 2) return 'half as fast';
  const difference = Math.round(Math.abs(after - before));
  return `${difference} bpm ${after > before ? 'faster' : 'slower'}`;
}

/** Whether two neighbours sound alike: key, tempo and feel all the same. */
export function soundAlike(before: FlowSide, after: FlowSide): boolean {
  return (
    sameKey(before.key, after.key) &&
    Math.abs(after.quarterBpm / before.quarterBpm - 1) < SAME_TEMPO &&
    before.feel === after.feel
  );
}
