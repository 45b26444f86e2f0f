import { bassOf, semitonesUp } from '../devices/sound.ts';
import type { ChordMove } from './chord-moves.ts';
import { rounded, WEIGHTS } from './weights.ts';

const { strong, step, third, tritone } = WEIGHTS.bassMotion;

/** The worth of a move by its semitones upwards, 0-11. */
const MOVES = [
  strong,
  strong,
  step,
  third,
  third,
  strong,
  tritone,
  step,
  third,
  third,
  step,
  strong,
];

/**
 * How firmly the bass walks through the chord changes of a rewrite, from bass note to bass note, 0-1: a fall of a fifth or a
 * semitone is strongest, a step next, the rest weak unless it belongs to a cycle of equal moves, where
 * the ear follows the pattern. Common practice, no source.
 */
export function bassMotion(moves: readonly ChordMove[]): number {
  if (moves.length === 0) return 1;
  const steps: number[] = [];
  for (const { from, to } of moves) steps.push(semitonesUp(bassOf(from), bassOf(to)));
  let sum = 0;
  for (let index = 0; index < steps.length; index++) sum += worthAt(steps, index);
  return rounded(sum / steps.length);
}

/** A move that comes again at once, or every second time, is part of a cycle. */
function worthAt(moves: readonly number[], index: number): number {
  const move = moves[index] ?? 0;
  return inCycle(moves, index, 1) || inCycle(moves, index, 2) ? strong : (MOVES[move] ?? tritone);
}

/** Whether the moves around a place repeat at a distance, three moves long at the least. */
function inCycle(moves: readonly number[], index: number, period: 1 | 2): boolean {
  let from = index;
  let to = index;
  while (from - period >= 0 && moves[from - period] === moves[from]) from -= period;
  while (to + period < moves.length && moves[to + period] === moves[to]) to += period;
  return (to - from) / period >= 2;
}
