import type { Pitch } from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import type { LineNote } from './guide.ts';
import { GRID } from './rhythm.ts';

/** Length of a note put into a rest that has room for it: a quarter, or what is free. */
const USUAL = 2 * GRID;

/**
 * Puts a note into a line. In a rest it is a quarter, or shorter where the next note or the end comes sooner.
 * Inside a held note it takes over: that one ends where the new one begins, and the new one lasts as long as it
 * would have. Null where a note begins already, before the line, or where no eighth is left for it.
 *
 * @param at tick at which it begins
 * @param from first tick of the line
 * @param end tick at which the line ends
 * @example insertNote([{ start: 0, length: 1920, pitch: C4 }], 960, E4, 0, 3840) // two quarters
 */
export function insertNote<N extends LineNote>(
  notes: readonly N[],
  at: Ticks,
  pitch: Pitch,
  from: Ticks,
  end: Ticks,
): readonly (N | LineNote)[] | null {
  if (at < from || at + GRID > end || notes.some(({ start }) => start === at)) return null;
  const index = notes.findLastIndex(({ start }) => start < at);
  const before = notes[index];
  const next = notes[index + 1]?.start ?? end;
  if (next - at < GRID) return null;
  if (before && before.start + before.length > at) {
    const rest = before.start + before.length - at;
    return [
      ...notes.slice(0, index),
      { ...before, length: at - before.start },
      { start: at, length: rest, pitch },
      ...notes.slice(index + 1),
    ];
  }
  const length = Math.min(USUAL, next - at);
  return [...notes.slice(0, index + 1), { start: at, length, pitch }, ...notes.slice(index + 1)];
}

/**
 * Where a note goes that is put in after another: into the rest behind it, else into its second half, on an
 * eighth. Null where it is an eighth with no rest behind it.
 */
export function placeAfter(notes: readonly LineNote[], index: number, end: Ticks): Ticks | null {
  const note = notes[index];
  if (!note) return null;
  const over = note.start + note.length;
  const free = (notes[index + 1]?.start ?? end) - over;
  if (free >= GRID) return over;
  const half = Math.floor(note.length / 2 / GRID) * GRID;
  return half >= GRID ? note.start + half : null;
}
