import type { Chord } from '../chord/model.ts';
import type { Change, Site } from '../devices/model.ts';
import { semitonesUp } from '../devices/sound.ts';
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
 * How firmly the bass walks through a rewrite and into the chord after it, 0-1: a fall of a fifth or a
 * semitone is strongest, a step next, the rest weak unless it belongs to a cycle of equal moves, where
 * the ear follows the pattern. Common practice, no source.
 */
export function bassMotion(site: Site, changes: readonly Change[]): number {
  const moves = movesOf(site, changes);
  if (moves.length === 0) return 1;
  let sum = 0;
  for (let index = 0; index < moves.length; index++) sum += worthAt(moves, index);
  return rounded(sum / moves.length);
}

/** The semitones upwards from bass note to bass note; a chord held on moves nothing and is not counted. */
function movesOf(site: Site, changes: readonly Change[]): number[] {
  const moves = new Array<number>(changes.length);
  let count = 0;
  let before: Chord | null = null;
  for (let index = 0; index <= changes.length; index++) {
    const harmony = index < changes.length ? changes[index]?.harmony : site.next;
    if (harmony?.kind !== 'chord') continue;
    if (before !== null && !(before.root === harmony.root && before.quality === harmony.quality)) {
      moves[count++] = semitonesUp(before.bass ?? before.root, harmony.bass ?? harmony.root);
    }
    before = harmony;
  }
  moves.length = count;
  return moves;
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
