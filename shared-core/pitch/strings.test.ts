import { describe, expect, it } from 'vitest';
import { instrumentById } from './instruments.ts';
import { nameOf } from './spelled.ts';
import {
  readTuning,
  strungAs,
  tuningMessage,
  tuningName,
  tuningText,
  usualSetup,
} from './strings.ts';

describe('a tuning', () => {
  it.each([
    ['DADGAD', 'D2 A2 D3 G3 A3 D4'],
    ['d a d g a d', 'D2 A2 D3 G3 A3 D4'],
    ['E A D G B e', 'E2 A2 D3 G3 B3 E4'],
    ['E, A, D, G, B, E', 'E2 A2 D3 G3 B3 E4'],
    ['E-A-D-G-B-E', 'E2 A2 D3 G3 B3 E4'],
    ['E♭ A♭ D♭ G♭ B♭ E♭', 'Eb2 Ab2 Db3 Gb3 Bb3 Eb4'],
    ['EbAbDbGbBbEb', 'Eb2 Ab2 Db3 Gb3 Bb3 Eb4'],
    ['F# B E A D F# B E', 'F#1 B1 E2 A2 D3 F#3 B3 E4'],
    ['C3 G3 D4 A4', 'C3 G3 D4 A4'],
    ['G3 D4 A4 E5', 'G3 D4 A4 E5'],
  ])('typed as %s is %s, spelled as it was typed', (typed, text) => {
    const read = readTuning(typed, 'guitar');
    expect(read.ok && tuningText(read.value)).toBe(text);
    expect(read.ok && readTuning(tuningText(read.value), 'guitar')).toEqual(read);
  });

  it.each([
    ['E A H G B E', 'String 3: “H” is no note.'],
    ['hello', 'String 1: “hello” is no note.'],
    ['', 'A guitar has 4 to 10 strings; this names none.'],
    ['E A', 'A guitar has 4 to 10 strings; this names 2.'],
    ['G4 C4 E4 A4', 'String 2, C4, is not above the one before it.'],
    ['E2 A2 D3 G3 B3 E5', 'String 6, E5, lies more than an octave above'],
    ['E7 A7 D8 G8', 'String 1, E7, is out of reach of a guitar'],
  ])('typed as “%s” is refused with what to do', (typed, words) => {
    const read = readTuning(typed, 'guitar');
    expect(read.ok ? '' : tuningMessage(read.error, 'guitar')).toContain(words);
  });

  it('is called by its name, or by its letters where it has none', () => {
    expect(tuningName(usualSetup('bass').tuning, 'bass')).toBe('four strings');
    const read = readTuning('C G D G A D', 'guitar');
    expect(read.ok && tuningName(read.value, 'guitar')).toBe('C G D G A D');
  });
});

it('guitars and basses have strings to speak of, other instruments do not', () => {
  expect(strungAs(instrumentById('guitar'))).toBe('guitar');
  expect(strungAs(instrumentById('double-bass'))).toBe('bass');
  expect(strungAs(instrumentById('violin'))).toBeNull();
  expect(strungAs(instrumentById('piano'))).toBeNull();
});

it('the usual setup of a guitar has its strings in standard tuning', () => {
  const { tuning, capo, leftHanded } = usualSetup('guitar');
  expect(tuning.map(({ pc }) => nameOf(pc)).join('')).toBe('EADGBE');
  expect([capo, leftHanded]).toEqual([0, false]);
});
