import { describe, expect, it } from 'vitest';
import type { Chord } from '../chord/model.ts';
import { parseChord } from '../chord/parse.ts';
import { notesOf } from '../chord/tones.ts';
import { chromaOf, midiOf, modulo, nameOf } from '../pitch/spelled.ts';
import { STANDARD_GUITAR } from './guitar.ts';
import { guitarShapesOverBass } from './guitar-bass.ts';
import { voicePath } from './path.ts';

function chordOf(text: string): Chord {
  const read = parseChord(text);
  if (!read.ok || read.value.kind !== 'chord') throw new Error(text);
  return read.value;
}

const SYMBOLS = [
  'G/B',
  'D7/F#',
  'Gm7/Bb',
  'C/G',
  'Cmaj7/D',
  'F/G',
  'Am7',
  'B7alt',
  'Ebm7b5',
  'C6/9',
];
const CHANGES = 'Dm7 G7 Cmaj7 A7b9 Dm9 G13 C6/9 F#m7b5 B7alt Em7'.split(' ');

describe('guitar shapes over their bass', () => {
  it.each(SYMBOLS)('have the bass of %s at the bottom, and sound what they fret', (symbol) => {
    const chord = chordOf(symbol);
    const shapes = guitarShapesOverBass(chord);
    // Where the bass is a tone of every shape, inversions have it: `voicePath` finds them.
    if (!notesOf({ ...chord, bass: null }).includes(chord.bass ?? chord.root))
      expect(shapes.length).toBeGreaterThan(0);
    for (const { frets = [], pitches } of shapes) {
      expect(nameOf(pitches[0]?.pc ?? 0)).toBe(nameOf(chord.bass ?? chord.root));
      const sounding = frets.flatMap((fret, string) =>
        fret === null ? [] : [(STANDARD_GUITAR.tuning[string] ?? 0) + fret],
      );
      expect(sounding).toEqual(pitches.map(midiOf));
      expect(sounding).toEqual([...sounding].sort((a, b) => a - b));
    }
  });

  it('ask for four fingers at most, within five frets', () => {
    for (const { frets = [] } of SYMBOLS.flatMap((symbol) =>
      guitarShapesOverBass(chordOf(symbol)),
    )) {
      const fretted = frets.filter((fret): fret is number => fret !== null && fret > 0);
      expect(fretted.length).toBeLessThanOrEqual(4);
      if (fretted.length > 0)
        expect(Math.max(...fretted) - Math.min(...fretted)).toBeLessThanOrEqual(5);
    }
  });

  it('stay at or above a capo', () => {
    const setup = { ...STANDARD_GUITAR, capo: 3 };
    for (const { frets = [] } of guitarShapesOverBass(chordOf('F/A'), setup))
      for (const fret of frets) if (fret !== null) expect(fret).toBeGreaterThanOrEqual(3);
  });
});

describe('a guitar without a bass player', () => {
  const path = (symbols: readonly string[], withBass: boolean) =>
    voicePath(symbols.map(chordOf), { instrument: 'guitar', withBass });

  it('plays the note after the slash, or the root, under every chord', () => {
    const symbols = [...SYMBOLS, ...CHANGES];
    path(symbols, false).forEach((voicing, at) => {
      const chord = chordOf(symbols[at] ?? '');
      const bottom = voicing?.pitches[0]?.pc ?? 0;
      expect(nameOf(bottom), symbols[at]).toBe(nameOf(chord.bass ?? chord.root));
    });
  });

  it('keeps third and seventh over it', () => {
    path(CHANGES, false).forEach((voicing, at) => {
      const notes = (voicing?.pitches ?? []).map(({ pc }) => chromaOf(pc));
      const chord = chordOf(CHANGES[at] ?? '');
      const third = notesOf(chord).filter((pc) =>
        [3, 4].includes(modulo(chromaOf(pc) - chromaOf(chord.root), 12)),
      );
      expect(notes, CHANGES[at]).toContain(chromaOf(third[0] ?? 0));
    });
  });

  it('leaves the roots to a bass player who is there', () => {
    const rooted = path(CHANGES, true).filter(
      (voicing, at) => voicing?.pitches[0]?.pc === chordOf(CHANGES[at] ?? '').root,
    );
    expect(rooted.length).toBeLessThan(CHANGES.length / 2);
  });
});

describe('a wish for the top of a voicing', () => {
  it('puts a melody on top of a guitar’s chords', () => {
    const symbols = ['C6', 'Am7', 'Dm7', 'G7', 'Cmaj7'];
    const topLine = [67, 69, 72, 71, 67];
    const path = voicePath(symbols.map(chordOf), {
      instrument: 'guitar',
      withBass: true,
      topLine,
    });
    expect(path.map((voicing) => midiOf(voicing?.pitches.at(-1) ?? fail()))).toEqual(topLine);
  });

  it('keeps piano voicings under a melody, as near as they go', () => {
    const below = [67, 64, null, 40];
    const path = voicePath(['Dm7', 'G7', 'Cmaj7', 'A7'].map(chordOf), {
      instrument: 'piano',
      withBass: true,
      below,
    });
    const tops = path.map((voicing) => midiOf(voicing?.pitches.at(-1) ?? fail()));
    expect(tops[0]).toBeLessThan(67);
    expect(tops[1]).toBeLessThan(64);
    // Nothing of a piano's comping lies under E2: the lowest there is stands for it.
    expect(tops[3]).toBeLessThan(66);
  });
});

function fail(): never {
  throw new Error('a chord has no voicing');
}
