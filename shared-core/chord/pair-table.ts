import { chromaOf, modulo } from '../pitch/spelled.ts';
import type { Chord, ChordQuality } from './model.ts';

/**
 * What two chords are to each other, where that depends on their qualities and on the interval between
 * their roots alone: worked out once for each, since qualities are interned and tunes have few of them.
 *
 * @param make by the two qualities and the semitones from the first root up to the second, 0-11; anything
 *   but undefined
 */
export function pairTable<T>(
  make: (from: ChordQuality, to: ChordQuality, up: number) => T,
): (from: Chord, to: Chord) => T {
  const tables = new WeakMap<ChordQuality, WeakMap<ChordQuality, (T | undefined)[]>>();
  const rowOf = (from: ChordQuality, to: ChordQuality): (T | undefined)[] => {
    let table = tables.get(from);
    if (table === undefined) {
      table = new WeakMap();
      tables.set(from, table);
    }
    let row = table.get(to);
    if (row === undefined) {
      row = new Array<T | undefined>(12).fill(undefined);
      table.set(to, row);
    }
    return row;
  };
  return (from, to) => {
    const row = rowOf(from.quality, to.quality);
    const up = modulo(chromaOf(to.root) - chromaOf(from.root), 12);
    let known = row[up];
    if (known === undefined) {
      known = make(from.quality, to.quality, up);
      row[up] = known;
    }
    return known;
  };
}
