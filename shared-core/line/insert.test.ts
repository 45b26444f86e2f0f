import { describe, expect, it } from 'vitest';
import { type Pitch, parsePitch } from '../pitch/spelled.ts';
import type { LineNote } from './guide.ts';
import { insertNote, placeAfter } from './insert.ts';

const EIGHTH = 480;

function pitch(name: string): Pitch {
  const read = parsePitch(name);
  if (!read) throw new Error(name);
  return read;
}

/** Notes as `name start length`, in eighths. */
function line(...rows: readonly (readonly [string, number, number])[]): LineNote[] {
  return rows.map(([name, start, length]) => ({
    start: start * EIGHTH,
    length: length * EIGHTH,
    pitch: pitch(name),
  }));
}

/** A note put in at an eighth of a line of 16 eighths. */
function put(notes: readonly LineNote[], at: number, from = 0, end = 16) {
  return insertNote(notes, at * EIGHTH, pitch('E4'), from * EIGHTH, end * EIGHTH);
}

const LINE = line(['C4', 0, 4], ['G4', 8, 1]);

describe('a note put into a line', () => {
  it('is a quarter in a rest', () => {
    expect(put(LINE, 4)).toEqual(line(['C4', 0, 4], ['E4', 4, 2], ['G4', 8, 1]));
    expect(put([], 0)).toEqual(line(['E4', 0, 2]));
  });

  it('is an eighth where no more is free', () => {
    expect(put(LINE, 7)).toEqual(line(['C4', 0, 4], ['E4', 7, 1], ['G4', 8, 1]));
    expect(put(LINE, 15)).toEqual(line(['C4', 0, 4], ['G4', 8, 1], ['E4', 15, 1]));
  });

  it('takes over a held note, which ends where it begins', () => {
    expect(put(LINE, 1)).toEqual(line(['C4', 0, 1], ['E4', 1, 3], ['G4', 8, 1]));
  });

  it.each([
    ['where a note begins', 8],
    ['at the end', 16],
    ['past the end', 20],
  ])('is refused %s', (_where, at) => {
    expect(put(LINE, at)).toBeNull();
  });

  it('is refused before the stretch the line is for', () => {
    expect(put(line(['C4', 9, 1]), 7, 8)).toBeNull();
    expect(put(line(['C4', 9, 1]), 8, 8)).toEqual(line(['E4', 8, 1], ['C4', 9, 1]));
  });

  it('leaves the others as they are', () => {
    const after = put(LINE, 4) ?? [];
    expect([after[0], after[2]]).toEqual(LINE);
  });
});

describe('the place after a note', () => {
  it('is the rest behind it, else its second half, else nowhere', () => {
    expect(placeAfter(LINE, 0, 16 * EIGHTH)).toBe(4 * EIGHTH);
    expect(placeAfter(line(['C4', 0, 8], ['D4', 8, 1]), 0, 16 * EIGHTH)).toBe(4 * EIGHTH);
    expect(placeAfter(line(['C4', 0, 3], ['D4', 3, 1]), 0, 16 * EIGHTH)).toBe(EIGHTH);
    expect(placeAfter(line(['C4', 0, 1], ['D4', 1, 1]), 0, 16 * EIGHTH)).toBeNull();
    expect(placeAfter([], 0, 16 * EIGHTH)).toBeNull();
  });
});
