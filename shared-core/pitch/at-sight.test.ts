import { describe, expect, it } from 'vitest';
import { atSight } from './copyist.ts';
import { midiOf, parseSpelled, pitchName } from './spelled.ts';

describe('a note to be read at sight', () => {
  // Common practice, no source: parts avoid double accidentals where the plain note sounds the same.
  it.each([
    ['Bbb', 4, 'A4'],
    ['Ebb', 5, 'D5'],
    ['Cbb', 5, 'Bb4'],
    ['F##', 4, 'G4'],
    ['B##', 3, 'C#4'],
    ['Bb', 4, 'Bb4'],
    ['E#', 4, 'E#4'],
  ])('%s%s is written %s and sounds the same', (name, octave, wanted) => {
    const pitch = { pc: parseSpelled(name) ?? 0, octave };
    expect(pitchName(atSight(pitch))).toBe(wanted);
    expect(midiOf(atSight(pitch))).toBe(midiOf(pitch));
  });
});
