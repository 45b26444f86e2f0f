import { describe, expect, it } from 'vitest';
import { chordOf } from '../../tests/support/chord.ts';
import { notesOf } from '../chord/tones.ts';
import { chromaOf, modulo, parsePitch } from '../pitch/spelled.ts';
import { type Figure, type FigureSlot, figureLine } from './figures.ts';

const TENOR = { low: 46, high: 72 };

function slot(symbol: string, parts: number, wish: string | null, place = 0): FigureSlot {
  const pc = wish === null ? null : (parsePitch(`${wish}4`)?.pc ?? null);
  return { chord: chordOf(symbol), parts, beat: 2, wish: pc, plain: false, place };
}

const bars = (symbol: string, wish: string | null, count: number): FigureSlot[] =>
  Array.from({ length: count }, (_, place) => slot(symbol, 8, wish, place * 7));
const tones = ({ midi }: Figure): number[] =>
  [...new Set(midi.map((note) => modulo(note, 12)))].sort((a, b) => a - b);
const contour = ({ midi }: Figure): string =>
  midi.map((note, at) => Math.sign(note - (midi[at - 1] ?? note))).join(' ');

describe('a line of figures', () => {
  it.each(['Ebm6', 'Ebm(maj7)', 'Ab7', 'F#m7b5', 'Bdim7', 'Gb'])(
    'holds all tones of %s in every bar and no others',
    (symbol) => {
      const expected = [...new Set(notesOf(chordOf(symbol)).map(chromaOf))].sort((a, b) => a - b);
      for (const figure of figureLine(bars(symbol, null, 6), TENOR, 62, 65))
        expect(tones(figure)).toEqual(expected);
    },
  );

  it('leaves root, then fifth, out of chords of more tones, but never the one that tells', () => {
    const [plain, told] = [null, 'A'].map((wish) =>
      figureLine([slot('A13', 8, wish)], TENOR, null, null).map(tones),
    );
    expect(plain).toEqual([[1, 6, 7, 11]]);
    expect(told?.[0]).toContain(9);
  });

  it('begins on the note that tells, or has it on a beat', () => {
    for (const { at, midi } of figureLine(bars('Ebm6', 'Gb', 6), TENOR, 62, 65)) {
      const place = midi.findIndex((note) => modulo(note, 12) === 6);
      expect(place === 0 || (at[place] ?? 1) % 2 === 0).toBe(true);
    }
    const [first] = figureLine([slot('Ebm6', 8, 'Gb')], TENOR, 65, 65);
    expect(modulo(first?.midi[0] ?? 0, 12)).toBe(6);
  });

  it('knows the note that tells under either name', () => {
    const [flat, sharp] = ['Gb', 'F#'].map((wish) =>
      figureLine([slot('Ebm6', 8, wish)], TENOR, 62, 65),
    );
    expect(sharp).toEqual(flat);
  });

  it('goes another way in every bar, with rests between, all inside the compass', () => {
    const line = figureLine(bars('Ebm6', 'Gb', 8), TENOR, 62, 65);
    line.slice(1).forEach((figure, index) => {
      expect(contour(figure)).not.toBe(contour(line[index] as Figure));
    });
    expect(new Set(line.map(({ at }) => at.join(' '))).size).toBeGreaterThan(2);
    for (const { at, midi } of line) {
      expect(at.at(-1)).toBeLessThan(7);
      expect(Math.min(...midi)).toBeGreaterThanOrEqual(TENOR.low);
      expect(Math.max(...midi)).toBeLessThanOrEqual(TENOR.high);
    }
  });

  it('joins chord to chord, and comes home, by a third at most', () => {
    const chords = ['Ebm7', 'Ab7', 'Ebm7', 'Ab7', 'Dm7', 'G7'].map((symbol, place) =>
      slot(symbol, 4, null, place),
    );
    const ends = figureLine(chords, TENOR, 62, 64);
    ends.slice(1).forEach(({ midi }, index) => {
      expect(Math.abs((midi[0] ?? 0) - (ends[index]?.midi.at(-1) ?? 0))).toBeLessThanOrEqual(4);
    });
    expect(Math.abs((ends.at(-1)?.midi.at(-1) ?? 0) - 64)).toBeLessThanOrEqual(4);
  });

  it('tells a chord of one or two parts by its third and seventh', () => {
    const guides = [6, 0];
    for (const parts of [1, 2]) {
      const [figure] = figureLine([slot('Ab7', parts, null)], TENOR, null, null);
      expect(figure?.midi).toHaveLength(parts);
      expect(guides).toContain(modulo(figure?.midi[0] ?? 0, 12));
    }
  });

  it('is one note, the one it comes home to, where everybody plays the chord', () => {
    const home = { ...slot('Bbmaj7', 8, 'F'), plain: true };
    const [figure] = figureLine([home], TENOR, 66, null);
    expect(figure).toEqual({ at: [0], midi: [65] });
  });

  it('is the same line every time', () => {
    const once = figureLine(bars('Ebm6', 'Gb', 8), TENOR, 62, 65);
    expect(figureLine(bars('Ebm6', 'Gb', 8), TENOR, 62, 65)).toEqual(once);
  });
});
