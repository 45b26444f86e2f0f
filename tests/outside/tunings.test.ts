import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { midiOf } from '../../shared-core/pitch/spelled.ts';
import {
  readTuning,
  type Strung,
  TUNINGS,
  tuningMessage,
} from '../../shared-core/pitch/strings.ts';
import { STANDARD_GUITAR } from '../../shared-core/voicing/guitar.ts';
import { voicePath } from '../../shared-core/voicing/path.ts';
import { chordOf } from '../support/chord.ts';

/** A row of tests/reference/guitar.json, `tunings`; its sources stand there. */
interface TuningRow {
  readonly name: string;
  readonly midi: readonly number[];
}

const rows: readonly TuningRow[] = JSON.parse(
  readFileSync(new URL('../reference/guitar.json', import.meta.url), 'utf8'),
).tunings;
/** The one row whose strings do not rise. */
const rising = rows.filter(({ name }) => name !== 'ukulele');
const NAMES = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'G#', 'A', 'Bb', 'B'];

function strungOf(name: string): Strung {
  return name.includes('bass') ? 'bass' : 'guitar';
}

function midiOfTuning(text: string, strung: Strung): number[] {
  const read = readTuning(text, strung);
  if (!read.ok) throw new Error(tuningMessage(read.error, strung));
  return read.value.map(midiOf);
}

describe('published tunings', () => {
  it.each(rising)('are found by their letters alone: $name', ({ name, midi }) => {
    const letters = midi.map((note) => NAMES[note % 12]).join(' ');
    expect(midiOfTuning(letters, strungOf(name))).toEqual(midi);
  });

  it('that go down again are refused with what to do', () => {
    const read = readTuning('G4 C4 E4 A4', 'guitar');
    expect(read.ok ? '' : read.error.code).toBe('order');
  });

  it.each([
    ...TUNINGS.guitar.map((one) => ({ ...one, strung: 'guitar' as const })),
    ...TUNINGS.bass.map((one) => ({ ...one, strung: 'bass' as const })),
  ])('are offered by name: $name', ({ name, strings, strung }) => {
    const aliases: Record<string, string> = {
      'four strings': 'bass guitar, double bass',
      'five strings, low B': 'five-string bass',
      'seven strings, low A': 'seven strings, low A (jazz)',
    };
    const row = rows.find((one) => one.name === (aliases[name] ?? name));
    // Common practice, no source: drop D, a high C and six strings on a bass.
    const unsourced = ['four strings, drop D', 'five strings, high C', 'six strings'];
    expect(row === undefined).toBe(unsourced.includes(name));
    if (row) expect(midiOfTuning(strings, strung)).toEqual(row.midi);
  });
});

describe('a guitar in another tuning', () => {
  const CHANGES = 'Bbmaj7 G7b9 Cm7 F7 Dm7b5 Edim7 Ebm6 Ab13 F#7alt Bb6 Gsus4 C+'.split(' ');

  it.each(rising.filter(({ name }) => strungOf(name) === 'guitar'))(
    'has a shape for every chord, and sounds what its frets say: $name',
    ({ midi }) => {
      const guitar = { ...STANDARD_GUITAR, tuning: midi };
      const path = voicePath(CHANGES.map(chordOf), {
        instrument: 'guitar',
        withBass: true,
        guitar,
      });
      for (const [at, voicing] of path.entries()) {
        expect(voicing, CHANGES[at]).not.toBeNull();
        const sounding = (voicing?.frets ?? []).flatMap((fret, string) =>
          fret === null ? [] : [(midi[string] ?? 0) + fret],
        );
        expect(sounding).toEqual(voicing?.pitches.map(midiOf));
      }
    },
  );
});
