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
