import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chordOf, harmonyOf } from '../../tests/support/chord.ts';
import { constructibleMasks } from '../../tests/support/qualities.ts';
import { chord } from './build.ts';
import {
  type FormatOptions,
  formatHarmony,
  layoutHarmony,
  suffixText,
  symbolOf,
} from './format.ts';
import type { Chord } from './model.ts';
import { NO_CHORD, parseChord } from './parse.ts';
import { qualityOfMask } from './quality.ts';

const MASKS = constructibleMasks();

const EVERY_WAY: FormatOptions[] = [
  { style: 'words', accidentals: 'ascii' },
  { style: 'words', accidentals: 'glyph' },
  { style: 'signs', accidentals: 'ascii' },
  { style: 'signs', accidentals: 'glyph' },
];

const SIGNS: FormatOptions = { style: 'signs', accidentals: 'glyph' };
const GLYPHS: FormatOptions = { style: 'words', accidentals: 'glyph' };

describe('writing a chord and reading it back', () => {
  it('gives the same chord for every quality a symbol can make, in every habit of print', () => {
    expect(MASKS.length).toBeGreaterThan(4000);
    const wrong: string[] = [];
    for (const mask of MASKS) {
      const written: Chord = {
        kind: 'chord',
        root: -2,
        quality: qualityOfMask(mask),
        bass: null,
        optional: false,
      };
      for (const way of EVERY_WAY) {
        const read = parseChord(formatHarmony(written, way));
        const same = read.ok && read.value.kind === 'chord' && read.value.quality.mask === mask;
        if (!same) wrong.push(formatHarmony(written, way));
      }
    }
    expect(wrong).toEqual([]);
  });

  it('gives the same chord with any root, bass and brackets', () => {
    const roots = fc.integer({ min: -15, max: 19 });
    const chords = fc.record({
      kind: fc.constant('chord' as const),
      root: roots,
      quality: fc.constantFrom(...MASKS).map(qualityOfMask),
      bass: fc.option(roots),
      optional: fc.boolean(),
    });
    fc.assert(
      fc.property(chords, fc.constantFrom(...EVERY_WAY), (made, way) => {
        const sameSound = made.bass !== null && (made.bass - made.root) % 12 === 0;
        const written: Chord = sameSound ? { ...made, bass: null } : made;
        expect(parseChord(formatHarmony(written, way))).toEqual({ ok: true, value: written });
        expect(parseChord(symbolOf(written))).toEqual({ ok: true, value: written });
      }),
      { numRuns: 2000, seed: 7 },
    );
  });

  it('writes no two qualities alike, even when letter case is lost in the signs', () => {
    const words = MASKS.map((mask) => qualityOfMask(mask).suffix);
    expect(new Set(words).size).toBe(MASKS.length);
    const signs = MASKS.map((mask) => suffixText(qualityOfMask(mask), SIGNS).toLowerCase());
    expect(new Set(signs).size).toBe(MASKS.length);
  });

  it('writes no two everyday qualities in words that differ by letter case alone', () => {
    const suffixes = ['', 'm', '7', 'm7', 'maj7', 'mMaj7', 'm6', '6', 'dim7', 'm7b5', 'aug'];
    const words = suffixes.map((suffix) => chordOf(`C${suffix}`).quality.suffix.toLowerCase());
    expect(new Set(words).size).toBe(suffixes.length);
  });
});

describe('the habits of print', () => {
  const samples: [symbol: string, words: string, signs: string][] = [
    ['Bbmaj7', 'B♭maj7', 'B♭△7'],
    ['F#m7b5', 'F♯m7♭5', 'F♯ø7'],
    ['Cdim7', 'Cdim7', 'C°7'],
    ['Cdim', 'Cdim', 'C°'],
    ['Ebm7', 'E♭m7', 'E♭−7'],
    ['CmMaj7', 'CmMaj7', 'C−△7'],
    ['Caug', 'Caug', 'C+'],
    ['C7#5', 'C7♯5', 'C7(♯5)'],
    ['G7b9#11', 'G7♭9♯11', 'G7(♭9♯11)'],
    ['B(b5)', 'B(♭5)', 'B(♭5)'],
    ['C7alt', 'C7alt', 'C7alt'],
    ['C6/9', 'C6/9', 'C6/9'],
    ['Dm9b5/Ab', 'Dm9♭5/A♭', 'Dø9/A♭'],
    ['C7b9sus4', 'C7♭9sus4', 'C7(♭9)sus4'],
    ['Fm11', 'Fm11', 'F−11'],
    ['(Em)', '(Em)', '(E−)'],
    ['N.C.', 'N.C.', 'N.C.'],
  ];

  for (const [symbol, words, signs] of samples) {
    it(`prints ${symbol} as ${words} and ${signs}`, () => {
      const harmony = harmonyOf(symbol);
      expect(symbolOf(harmony)).toBe(symbol);
      expect(formatHarmony(harmony, GLYPHS)).toBe(words);
      expect(formatHarmony(harmony, SIGNS)).toBe(signs);
    });
  }

  it('writes the major sign, not a letter, wherever a major seventh stands', () => {
    expect(formatHarmony(harmonyOf('Cdim7(add maj7)'), SIGNS)).toBe('C°7add△7');
  });
});

describe('laying a chord out for print', () => {
  it('puts root, quality, alterations and the bass after its slash in this order', () => {
    const runs = layoutHarmony(harmonyOf('Bbm7b5/Ab'), 'words');
    expect(runs.map((run) => `${run.kind}:${run.text}`)).toEqual([
      'root:B',
      'root-accidental:♭',
      'quality:m7',
      'raised:♭5',
      'slash:/',
      'bass:A',
      'bass-accidental:♭',
    ]);
    const sus = layoutHarmony(harmonyOf('D#sus2/F'), 'words').map((run) => run.text);
    expect(sus).toEqual(['D', '♯', 'sus2', '/', 'F']);
  });

  it('keeps alterations one by one, so that they can be stacked', () => {
    const runs = layoutHarmony(chord(1, '7b9#11', 5), 'words');
    expect(runs.map((run) => run.text)).toEqual(['G', '7', '♭9', '♯11', '/', 'B']);
  });

  it('says with its runs what the text says, for every quality', () => {
    const bare = (text: string): string => text.replace(/[()]/g, '');
    for (const mask of MASKS) {
      const made = { ...chordOf('Eb7/G'), quality: qualityOfMask(mask) };
      const words = layoutHarmony(made, 'words').map((run) => run.text);
      const letters = [...bare(words.join(''))].sort().join('');
      expect(letters).toBe([...bare(formatHarmony(made, GLYPHS))].sort().join(''));
    }
  });

  it('prints an optional chord in brackets and no chord by its name', () => {
    expect(layoutHarmony(harmonyOf('(Em)'), 'words').map((run) => run.text)).toEqual([
      '(',
      'E',
      'm',
      ')',
    ]);
    expect(layoutHarmony(NO_CHORD, 'signs')).toEqual([{ kind: 'none', text: 'N.C.' }]);
  });
});
