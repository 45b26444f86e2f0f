import { describe, expect, it } from 'vitest';
import { parseChord } from '../chord/parse.ts';
import { parseKey } from '../pitch/key.ts';
import { romanOf } from './roman.ts';

function roman(symbol: string, key: string): string {
  const chord = parseChord(symbol);
  const where = parseKey(key);
  if (!chord.ok || chord.value.kind === 'none' || where === null) throw new Error(symbol);
  return romanOf(chord.value, where);
}

describe('romanOf', () => {
  // Numerals against the major scale in both modes: Jacobs 2011 and Baerman 1998 as cited in
  // "Bird changes"; the minor forms of tests/reference/blues-variants.json.
  it.each([
    ['Dm7', 'C', 'ii7'],
    ['G7', 'C', 'V7'],
    ['Cmaj7', 'C', 'Imaj7'],
    ['Bm7b5', 'C', 'viiø7'],
    ['F#dim7', 'C', '#iv°7'],
    ['Bb7', 'C', 'bVII7'],
    ['Ebm7', 'C', 'biii7'],
    ['Ab7', 'C minor', 'bVI7'],
    ['Abmaj7', 'C minor', 'bVImaj7'],
    ['Ebmaj7', 'C minor', 'bIIImaj7'],
    ['Dm7b5', 'C minor', 'iiø7'],
    ['CmMaj7', 'C minor', 'imaj7'],
    ['Fm6', 'C', 'iv6'],
    ['G7#5', 'C', 'V7#5'],
    ['Db7', 'C', 'bII7'],
    ['C#m7', 'A', 'iii7'],
    ['Gb7', 'F', 'bII7'],
    ['Caug', 'F', 'V+'],
    ['E7sus4', 'A', 'V7sus4'],
    // A bass that is no chord tone: common practice, no source.
    ['Dm7/G', 'C', 'V7sus4'],
    ['F/G', 'C', 'V7sus4'],
    ['C/A', 'C', 'vi7'],
    ['Am/F#', 'C', '#ivø7'],
    ['D/Eb', 'Eb', 'VII/I'],
    ['C/E', 'C', 'I'],
    ['G7/B', 'C', 'V7'],
  ])('names %s in %s as %s', (symbol, key, expected) => {
    expect(roman(symbol, key)).toBe(expected);
  });

  it('keeps a usual spelling and names an unusual one by its sound', () => {
    expect(roman('F#m7b5', 'C')).toBe('#ivø7');
    expect(roman('Gb7', 'C')).toBe('bV7');
    expect(roman('B7', 'Bb')).toBe('bII7');
    expect(roman('C#dim7', 'C')).toBe('#i°7');
    expect(roman('Fb7', 'Ab')).toBe('bVI7');
    expect(roman('E7', 'Ab')).toBe('bVI7');
  });
});
