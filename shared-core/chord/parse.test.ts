import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import table from '../../tests/reference/chords.json';
import { chordOf, harmonyOf, notesIn, pitchClasses } from '../../tests/support/chord.ts';
import { nameOf } from '../pitch/spelled.ts';
import { degreeName } from './degrees.ts';
import { symbolOf } from './format.ts';
import { NO_CHORD, parseChord } from './parse.ts';

// Sources of every row: tests/reference/chords.json.

/** Bare `dim` and the circle stand in two rows of the table, triad and seventh: here they are triads. */
const CIRCLE_ALONE = new Set(['dim', '°', 'o']);

function degreesOf(text: string): string[] {
  return chordOf(text).quality.degrees.map(degreeName);
}

describe('reading the spellings of the trade', () => {
  for (const row of table.rows) {
    it(`reads every spelling of the ${row.name}`, () => {
      for (const suffix of row.accepted_spellings) {
        if (row.id === 'dim7' && CIRCLE_ALONE.has(suffix)) continue;
        const degrees = degreesOf(`C${suffix}`);
        const optional = 'optional_degrees' in row ? (row.optional_degrees ?? []) : [];
        const needed = degrees.filter((name) => !optional.includes(name));
        const expected = row.id === '7alt' ? ['1', '3', '#5', 'b7', '#9'] : row.degrees;
        expect(needed, `C${suffix}`).toEqual(expected);
        expect(symbolOf(chordOf(`C${suffix}`)), `C${suffix}`).toBe(
          row.id === 'maj' ? 'C' : `C${row.id}`,
        );
      }
    });

    it(`spells the ${row.name} on C, Eb, F#, Bb, Ab and C#`, () => {
      for (const example of row.examples) {
        if (row.id === '7alt') continue;
        const optional = 'optional_degrees' in row ? (row.optional_degrees ?? []) : [];
        const chord = chordOf(example.symbol);
        const kept = chord.quality.degrees
          .map((degree, index) => ({ name: degreeName(degree), pc: chord.quality.fifths[index] }))
          .filter((note) => !optional.includes(note.name))
          .map((note) => nameOf(chord.root + (note.pc ?? 0)));
        expect(kept, example.symbol).toEqual(example.notes);
      }
    });
  }

  it('gives an altered dominant its third and seventh, an altered fifth and ninth, nothing natural', () => {
    const row = table.rows.find((candidate) => candidate.id === '7alt');
    const degrees = degreesOf('C7alt');
    expect(degrees).toEqual(expect.arrayContaining(row?.degrees ?? ['missing row']));
    for (const natural of ['5', '9', '13']) expect(degrees).not.toContain(natural);
    expect(degrees.some((name) => ['b9', '#9', '#11', '#5', 'b13'].includes(name))).toBe(true);
  });

  it('reads bare dim and the circle as a triad, dim7 as the seventh chord', () => {
    for (const text of ['Cdim', 'C°', 'Co', 'Cº']) expect(notesIn(text)).toBe('C Eb Gb');
    for (const text of ['Cdim7', 'C°7', 'Co7', 'C07']) expect(notesIn(text)).toBe('C Eb Gb Bbb');
  });

  it('reads every look-alike character as the character it stands for', () => {
    const plain: Record<string, string[]> = {
      Bb7: ['B♭7'],
      'F#7': ['F♯7', 'F＃7'],
      Cm7: ['C-7', 'C−7', 'C–7', 'C‑7', 'C—7'],
      Cmaj7: ['C△7', 'CΔ7', 'C∆7', 'C▵7', 'C^7', 'C△', 'CΔ', 'C∆'],
      Cdim7: ['C°7', 'Cº7', 'C˚7', 'C○7', 'Co7'],
      Cm7b5: ['Cø', 'CØ', 'C∅', 'C⌀7', 'Ch7'],
      C7b9: ['C7♭9', 'C7−9', 'C7 (♭9)'],
      Ebb: ['E𝄫', 'E♭♭'],
      'F##': ['F𝄪', 'Fx', 'F♯♯'],
      B7: ['B♮7'],
    };
    for (const [canonical, spellings] of Object.entries(plain)) {
      for (const text of spellings) expect(symbolOf(harmonyOf(text)), text).toBe(canonical);
    }
  });

  it('puts the bass of the slash chords in the table under their chord', () => {
    for (const row of table.slash_chords) {
      const chord = chordOf(row.symbol);
      expect(nameOf(chord.root)).toBe(row.root);
      expect(chord.bass === null ? null : nameOf(chord.bass)).toBe(row.bass);
      const upper = notesIn(row.symbol.slice(0, row.symbol.indexOf('/'))).split(' ');
      expect(upper, row.symbol).toEqual(row.chord_notes);
    }
  });

  it('gives chords of the same notes and different names the same pitch classes', () => {
    for (const pair of table.same_notes_different_name) {
      expect(pitchClasses(harmonyOf(pair.a))).toEqual(pitchClasses(harmonyOf(pair.b)));
    }
  });
});

// Common practice, no source, unless the row says otherwise.
describe('reading what bandleaders type', () => {
  it('takes a dash after the root for minor', () => {
    expect(parseChord('A-7')).toEqual(parseChord('Am7'));
    expect(notesIn('A-7')).toBe('A C E G');
    expect(parseChord('C-')).toEqual(parseChord('Cm'));
    expect(notesIn('C-')).toBe('C Eb G');
  });

  it('takes plus and minus before a figure for sharp and flat, and keeps third and seventh', () => {
    expect(notesIn('A7+5')).toBe('A C# E# G');
    expect(notesIn('A7(+5)')).toBe('A C# E# G');
    expect(notesIn('A7-5')).toBe('A C# Eb G');
  });

  it('binds an accidental after the letter to the root', () => {
    expect(notesIn('Bb7')).toBe('Bb D F Ab');
    expect(notesIn('B7b9')).toBe('B D# F# A C');
    expect(notesIn('Bb5')).toBe('Bb F');
    expect(notesIn('B(b5)')).toBe('B D# F');
    expect(notesIn('Cb9sus')).toBe('Cb Fb Gb Bbb Db');
    expect(notesIn('Dadd6')).toBe('D F# A B');
    expect(notesIn('Gm7/Bb')).toBe('Bb G D F');
  });

  it('reads alt with or without figure and dot, and keeps it as alt', () => {
    for (const text of ['C7alt', 'C7alt.', 'Calt', 'Calt7', 'C7(alt)']) {
      expect(symbolOf(harmonyOf(text))).toBe('C7alt');
    }
  });

  it('reads the signs of print', () => {
    expect(parseChord('B♭Δ7')).toEqual(parseChord('Bbmaj7'));
    expect(parseChord('F♯ø7')).toEqual(parseChord('F#m7b5'));
    expect(notesIn('C°7')).toBe('C Eb Gb Bbb');
    expect(parseChord('E♭−7')).toEqual(parseChord('Ebm7'));
  });

  it('takes brackets around a whole chord for an optional chord, inside a symbol for tensions', () => {
    const optional = chordOf('(Em)');
    expect(optional.optional).toBe(true);
    expect(notesIn('(Em)')).toBe('E G B');
    expect(symbolOf(optional)).toBe('(Em)');
    expect(notesIn('C7(b9,#11)')).toBe('C E G Bb Db F#');
    expect(notesIn('Gm7(b5)')).toBe('G Bb Db F');
    expect(chordOf('C(add9)').optional).toBe(false);
  });

  it('tells major and minor apart by the case of a bare m', () => {
    expect(notesIn('CM7')).toBe('C E G B');
    expect(notesIn('Cm7')).toBe('C Eb G Bb');
    expect(notesIn('C7')).toBe('C E G Bb');
    expect(notesIn('Cma7')).toBe('C E G B');
    expect(notesIn('Cmi7')).toBe('C Eb G Bb');
    expect(notesIn('CMI7')).toBe('C Eb G Bb');
  });

  it('reads every way to write no chord', () => {
    for (const text of ['N.C.', 'NC', 'N. C.', 'n.c.', 'N', 'no chord', 'No Chord', ' N.C. ']) {
      expect(parseChord(text)).toEqual({ ok: true, value: NO_CHORD });
    }
  });

  it('takes one quality object for all spellings of a chord', () => {
    expect(chordOf('Am7').quality).toBe(chordOf('C-7').quality);
    expect(chordOf('G7(#5,#9)').quality).toBe(chordOf('Bb+7#9').quality);
  });

  it('adds without raising after add, raises a seventh chord by a bare figure in brackets', () => {
    expect(notesIn('C7add13')).toBe('C E G Bb A');
    expect(notesIn('C7(13)')).toBe('C E G Bb D A');
    expect(notesIn('Cm7(add11)')).toBe('C Eb G Bb F');
    expect(notesIn('Cm7(11)')).toBe('C Eb G Bb D F');
    expect(notesIn('C(b9)')).toBe('C E G Db');
    expect(notesIn('Csus24')).toBe('C D F G');
  });

  it('reads a figure that stands apart from its word', () => {
    for (const text of ['C maj 7', 'Cmaj 7', 'Cmajor 7', 'Cmaj(7)', 'C (maj 7)']) {
      expect(symbolOf(harmonyOf(text)), text).toBe('Cmaj7');
    }
    expect(symbolOf(harmonyOf('Cmaj(9)'))).toBe('Cmaj9');
    expect(symbolOf(harmonyOf('C sus 2'))).toBe('Csus2');
    expect(symbolOf(harmonyOf('Cm 7 b5'))).toBe('Cm7b5');
    expect(symbolOf(harmonyOf('Cdim7(add maj 7)'))).toBe('Cdim7addMaj7');
  });

  it('drops the bass that is the root itself', () => {
    expect(chordOf('C/C').bass).toBeNull();
  });
});

describe('refusing by name', () => {
  const refused: [text: string, code: string, offset: number][] = [
    ['', 'chord/empty', 0],
    ['   ', 'chord/empty', 0],
    ['H7', 'chord/root', 0],
    ['am7', 'chord/root', 0],
    ['bb7', 'chord/root', 0],
    ['(N.C.)', 'chord/root', 1],
    ['7', 'chord/root', 0],
    ['Cm7x', 'chord/quality', 3],
    ['C7(b9', 'chord/quality', 5],
    ['C7)', 'chord/quality', 2],
    ['C()', 'chord/quality', 1],
    ['C10', 'chord/quality', 1],
    ['C24', 'chord/quality', 1],
    ['C724', 'chord/quality', 1],
    ['Cadd8', 'chord/quality', 4],
    ['Csus#4', 'chord/quality', 4],
    ['C7b3', 'chord/quality', 2],
    ['C%', 'chord/quality', 1],
    ['D|C', 'chord/quality', 1],
    ['CmMinor', 'chord/quality', 2],
    ['C/e', 'chord/bass', 2],
    ['C/H', 'chord/bass', 2],
    ['C/Dm7', 'chord/bass', 3],
    ['C/E/G', 'chord/bass', 3],
    ['C/', 'chord/bass', 2],
    ['C9(b9)', 'chord/contradiction', 1],
    ['C7(9,#9)', 'chord/contradiction', 1],
    ['C7(maj7)', 'chord/contradiction', 3],
    ['C7alt(13)', 'chord/contradiction', 2],
    ['Cdimsus4', 'chord/contradiction', 1],
    ['Cm5', 'chord/contradiction', 2],
    [`C7${'b9'.repeat(40)}`, 'chord/too-long', 64],
  ];

  for (const [text, code, offset] of refused) {
    it(`refuses ${JSON.stringify(text.slice(0, 20))} with ${code} at ${offset}`, () => {
      const read = parseChord(text);
      expect(read.ok).toBe(false);
      if (!read.ok) expect([read.error.code, read.error.offset]).toEqual([code, offset]);
    });
  }

  it('answers any text with a harmony or an error whose place lies in the text', () => {
    const pieces = fc.constantFrom(
      ...'ABCGH abdmMo7169+-^()/,#♭♯°øΔ'.split(''),
      'sus',
      'add',
      'maj',
      'min',
      'no',
      'alt',
      'dim',
      '13',
      '𝄫',
    );
    const texts = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 80 }),
      fc.array(pieces, { maxLength: 14 }).map((parts) => `C${parts.join('')}`),
    );
    fc.assert(
      fc.property(texts, (text) => {
        const read = parseChord(text);
        if (read.ok) {
          expect(parseChord(symbolOf(read.value))).toEqual(read);
        } else {
          expect(read.error.offset).toBeGreaterThanOrEqual(0);
          expect(read.error.offset).toBeLessThanOrEqual(Math.max(text.length, 64));
        }
      }),
      { numRuns: 3000, seed: 20 },
    );
  });
});
