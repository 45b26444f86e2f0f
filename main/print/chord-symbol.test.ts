import { describe, expect, it } from 'vitest';
import { harmonyOf } from '../../tests/support/chord.ts';
import { setChord } from './chord-symbol.ts';
import { canDraw } from './fonts.ts';
import { LOOKS } from './looks.ts';
import type { Face } from './scene.ts';

/** Source: ../shared/reference/cases/inputs.md, case B57. */
const SYMBOLS = ['BbΔ7', 'F#ø7', 'C°7', 'G7#9', 'Abbmaj7'];

type Draws = (face: Face, character: string) => boolean;

const lacking =
  (missing: string): Draws =>
  (face, character) =>
    !missing.includes(character) && canDraw(face, character);

function labels(style: 'words' | 'signs', draws?: Draws): readonly string[] {
  return SYMBOLS.map((text) => setChord(harmonyOf(text), style, LOOKS.strong, draws).label);
}

describe('a chord symbol whose signs a font lacks', () => {
  it('has every sign where the fonts have them', () => {
    expect(labels('signs')).toEqual(['B♭△7', 'F♯ø7', 'C°7', 'G7♯9', 'A𝄫△7']);
    expect(labels('words')).toEqual(['B♭maj7', 'F♯m7♭5', 'Cdim7', 'G7♯9', 'A𝄫maj7']);
  });

  it('falls back to words for the signs of qualities', () => {
    expect(labels('signs', lacking('△ø°'))).toEqual(labels('words'));
  });

  it('falls back to b and # for accidentals, in either style', () => {
    const none = lacking('♭♯𝄫');
    expect(labels('words', none)).toEqual(['Bbmaj7', 'F#m7b5', 'Cdim7', 'G7#9', 'Abbmaj7']);
    expect(labels('signs', none)).toEqual(['Bb△7', 'F#ø7', 'C°7', 'G7#9', 'Abb△7']);
    expect(labels('signs', lacking('♭♯𝄫△ø°'))).toEqual(labels('words', none));
  });

  it('draws what it says: the letters of the label and no others', () => {
    const set = setChord(harmonyOf('F#ø7'), 'signs', LOOKS.strong, lacking('♯ø♭'));
    expect(set.items.map(({ text }) => text).join('')).toBe(set.label);
  });
});
