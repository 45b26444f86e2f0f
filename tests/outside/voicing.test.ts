import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Chord } from '../../shared-core/chord/model.ts';
import { parseChord } from '../../shared-core/chord/parse.ts';
import { midiOf, nameOf } from '../../shared-core/pitch/spelled.ts';
import { guitarShapes } from '../../shared-core/voicing/guitar.ts';
import { lowestUnder } from '../../shared-core/voicing/limits.ts';
import { pianoVoicings } from '../../shared-core/voicing/piano.ts';

// Sources stand in the reference files: tests/reference/guitar.json and tests/reference/voicing.json.
const guitar = JSON.parse(
  readFileSync(new URL('../reference/guitar.json', import.meta.url), 'utf8'),
);
const voicing = JSON.parse(
  readFileSync(new URL('../reference/voicing.json', import.meta.url), 'utf8'),
);

interface ShapeRow {
  id: string;
  voicing: string;
  chord: string;
  frets_6_to_1: (number | null)[];
  midi: number[];
}

function chordOf(text: string): Chord {
  const read = parseChord(text);
  if (!read.ok || read.value.kind !== 'chord') throw new Error(`${text} is no chord`);
  return read.value;
}

describe('guitar shapes against the published shapes', () => {
  const rows: ShapeRow[] = [...guitar.shapes, ...guitar.shell_shapes];

  it('has all 216 rows to check', () => {
    expect(rows).toHaveLength(216);
  });

  it.each(rows.map((row) => [row.id, row] as const))(
    'finds %s with the same pitches and name',
    (_, row) => {
      const wanted = JSON.stringify(row.frets_6_to_1);
      const found = guitarShapes(chordOf(row.chord)).find(
        (shape) => JSON.stringify(shape.frets) === wanted,
      );
      expect(found?.pitches.map(midiOf)).toEqual(row.midi);
      expect(row.voicing).toContain(found?.kind);
    },
  );

  it('never asks for more than five frets, and never puts two notes on a string', () => {
    for (const text of [
      'Cmaj7',
      'Ebm7',
      'F#m7b5',
      'Ab7b9',
      'C7alt',
      'Db6/9',
      'B7sus4',
      'Gdim7',
      'E',
    ]) {
      for (const shape of guitarShapes(chordOf(text))) {
        const fretted = (shape.frets ?? []).filter(
          (fret): fret is number => fret !== null && fret > 0,
        );
        expect(Math.max(...fretted) - Math.min(...fretted)).toBeLessThanOrEqual(5);
        expect(shape.frets).toHaveLength(6);
      }
    }
  });
});

interface TuningRow {
  name: string;
  midi: number[];
}

describe('guitar shapes in other tunings, from four strings to seven', () => {
  const SYMBOLS = ['Cmaj7', 'Dm7', 'G7', 'Bm7b5', 'Ebmaj7', 'F#m7', 'Ab7'];
  const tunings = (guitar.tunings as TuningRow[]).map((row) => [row.name, row.midi] as const);

  it('are checked on four, five, six and seven strings', () => {
    expect(new Set(tunings.map(([, tuning]) => tuning.length))).toEqual(new Set([4, 5, 6, 7]));
  });

  it.each(tunings)('sound what they fret, whole chords in reach, in %s', (_, tuning) => {
    for (const symbol of SYMBOLS) {
      const chord = chordOf(symbol);
      const shapes = guitarShapes(chord, { tuning, highestFret: 15, capo: 0 });
      expect(shapes.length, symbol).toBeGreaterThan(0);
      for (const { frets = [], pitches } of shapes) {
        expect(frets).toHaveLength(tuning.length);
        const sounding = frets.flatMap((fret, string) =>
          fret === null ? [] : [(tuning[string] ?? 0) + fret],
        );
        expect(sounding).toEqual(pitches.map(midiOf));
        const fretted = frets.filter((fret): fret is number => fret !== null && fret > 0);
        if (fretted.length > 0)
          expect(Math.max(...fretted) - Math.min(...fretted)).toBeLessThanOrEqual(5);
      }
    }
  });

  it('move as one when every string goes down a tone: the same frets sound a tone lower', () => {
    const rows = Object.fromEntries(tunings);
    const standard = rows.standard ?? [];
    const lower = rows['down a whole tone'] ?? [];
    const frets = (symbol: string, tuning: readonly number[]) =>
      guitarShapes(chordOf(symbol), { tuning, highestFret: 15, capo: 0 })
        .map((shape) => JSON.stringify(shape.frets))
        .sort();
    expect(frets('Bbmaj7', lower)).toEqual(frets('Cmaj7', standard));
  });
});

describe('guitar shapes above a capo', () => {
  const tuning = [40, 45, 50, 55, 59, 64];

  it.each([1, 3, 5, 7])('stay at or above the capo on fret %s', (capo) => {
    const shapes = guitarShapes(chordOf('Cmaj7'), { tuning, highestFret: 17, capo });
    expect(shapes.length).toBeGreaterThan(0);
    for (const { frets = [] } of shapes)
      for (const fret of frets) if (fret !== null) expect(fret).toBeGreaterThanOrEqual(capo);
  });

  it('are the shapes of the nut, a capo higher: C shapes with a capo on three sound as Eb', () => {
    // What a capo does: every string sounds higher by its fret (common practice, no source).
    const open = guitarShapes(chordOf('Cmaj7'), { tuning, highestFret: 12, capo: 0 });
    const capo = guitarShapes(chordOf('Ebmaj7'), { tuning, highestFret: 15, capo: 3 });
    const up = open.map(({ frets = [] }) =>
      JSON.stringify(frets.map((fret) => (fret === null ? null : fret + 3))),
    );
    const found = capo.map(({ frets }) => JSON.stringify(frets));
    expect(up.length).toBeGreaterThan(20);
    expect(up.filter((shape) => !found.includes(shape))).toEqual([]);
    expect(found.filter((shape) => !up.includes(shape))).toEqual([]);
  });
});

interface FormRow {
  id: string;
  quality: string;
  degrees_low_to_high: string[];
  examples: { root: string; notes: string[] }[];
}

/** The symbol whose usual rootless voicing a row of the table describes. */
const SYMBOL: Readonly<Record<string, string>> = {
  'major seventh with ninth': 'maj7',
  'major sixth with ninth': '6',
  'minor seventh with ninth': 'm7',
  'dominant thirteenth with ninth': '7',
  'dominant flat nine flat thirteen': '7b9b13',
  'half-diminished (root kept, no ninth)': 'm7b5',
  'minor-major with ninth': 'mMaj7',
  'minor sixth with ninth': 'm6',
};

describe('rootless piano forms against the published forms', () => {
  const rows = (voicing.rootless_forms as FormRow[]).flatMap((row) =>
    row.examples.map((example) => [`${row.id} on ${example.root}`, row, example] as const),
  );

  it.each(rows)('finds %s, spelled the same', (_, row, example) => {
    const chord = chordOf(example.root + (SYMBOL[row.quality] ?? '?'));
    const found = pianoVoicings(chord, { withBass: true }).map((one) =>
      one.pitches.map(({ pc }) => nameOf(pc)).join(' '),
    );
    expect(found).toContain(example.notes.join(' '));
  });
});

describe('low interval limits against the published lists', () => {
  interface LimitRow {
    semitones: number;
    midi: Record<string, number | null>;
  }
  const rows = (voicing.low_interval_limits as LimitRow[]).map(
    (row) => [row.semitones, row] as const,
  );

  it.each(rows)(
    'keeps %s semitones no lower than the laxest and no higher than the strictest list',
    (semitones, row) => {
      const listed = Object.values(row.midi).filter((value): value is number => value !== null);
      expect(lowestUnder(semitones)).toBeGreaterThanOrEqual(Math.min(...listed));
      expect(lowestUnder(semitones)).toBeLessThanOrEqual(Math.max(...listed));
    },
  );
});
