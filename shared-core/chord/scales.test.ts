import { describe, expect, it } from 'vitest';
import table from '../../tests/reference/chord-scales.json';
import { chordOf, keyOf } from '../../tests/support/chord.ts';
import { constructibleMasks } from '../../tests/support/qualities.ts';
import { nameOf } from '../pitch/spelled.ts';
import { degreeFifths, degreeName } from './degrees.ts';
import { qualityOfMask } from './quality.ts';
import {
  FUNCTION_IDS,
  FUNCTIONS,
  functionRow,
  SCALES,
  type ScaleFunction,
  scaleByName,
} from './scale-table.ts';
import {
  avoidNotes,
  scaleFunctionOf,
  scaleOn,
  scalesFor,
  tensionDegrees,
  tensionsOf,
} from './scales.ts';

// Sources of every row: tests/reference/chord-scales.json.

const names = (pcs: readonly number[]): string => pcs.map(nameOf).join(' ');

/** Functions that root and quality cannot tell from another (only the analysis can), and what they look like. */
const LOOKS_LIKE: Readonly<Record<string, ScaleFunction>> = {
  'ext-dom': 'V7/vi',
  'I7-blues': 'V7/IV',
};

describe('scales and tensions by function', () => {
  for (const row of table.rows) {
    const key = keyOf(
      /minor|^i|^V7-|iiø/.test(row.id) && !/^iv[67]$|^ii$|^iii$/.test(row.id)
        ? 'C minor'
        : 'C major',
    );
    const fn = row.id as ScaleFunction;

    it(`gives ${row.example_in_c.chord} as ${row.function} its scale, spelled`, () => {
      const scales = scalesFor(chordOf(row.example_in_c.chord), key, fn);
      expect(scales[0]?.scale.name).toBe(row.first_choice_scale);
      expect(names(scales[0]?.notes ?? [])).toBe(row.example_in_c.scale.join(' '));
      const offered = scales.map((item) => item.scale.name);
      for (const other of row.other_scales) expect(offered).toContain(other);
    });

    it(`gives ${row.example_in_c.chord} as ${row.function} its tensions and avoid notes`, () => {
      const chord = chordOf(row.example_in_c.chord);
      const reading = tensionDegrees(chord, key, fn);
      const available = reading.available.map(degreeName);
      const wanted = row.available_tensions.map((name) => (name === 'maj7' ? '7' : name));
      if (chord.quality.alt) {
        // The table leaves out the sharp eleventh, which B flat part and soloist have under 7alt.
        expect(available).toEqual(['b9', '#9', '#11', 'b13']);
        expect(available).toEqual(expect.arrayContaining(wanted));
      } else {
        expect(available).toEqual(wanted);
        expect(names(tensionsOf(chord, key, fn))).toBe(row.example_in_c.tensions.join(' '));
      }
      const avoid = row.avoid_notes.map((name) => (name === '3 (10)' ? '3' : name));
      expect(reading.avoid.map(degreeName)).toEqual(avoid);
      expect(avoidNotes(chord, key, fn)).toEqual(
        reading.avoid.map((degree) => chord.root + degreeFifths(degree)),
      );
    });

    it(`tells by root and quality that ${row.example_in_c.chord} is ${row.function}`, () => {
      const told = scaleFunctionOf(chordOf(row.example_in_c.chord), key);
      expect(told).toBe(LOOKS_LIKE[row.id] ?? row.id);
    });
  }

  it('has every row of the table and no other', () => {
    expect([...FUNCTION_IDS].sort()).toEqual(table.rows.map((row) => row.id).sort());
    expect(FUNCTIONS.map((row) => row.id)).toEqual([...FUNCTION_IDS]);
  });

  it('has every scale of the table, degree by degree', () => {
    for (const row of table.scales) {
      expect(scaleByName(row.name).degrees.map(degreeName)).toEqual(row.degrees);
      expect(names(scaleOn(0, scaleByName(row.name)).notes)).toBe(row.on_c.join(' '));
    }
  });
});

/** Names of the published chart beside ours. */
const CHART_NAMES: Readonly<Record<string, string>> = {
  major: 'ionian',
  minor: 'aeolian',
  'lydian dominant': 'lydian b7',
  'dominant bebop': 'bebop dominant',
  'major bebop': 'bebop major',
  'minor bebop': 'bebop minor',
};

describe('scales by sound alone', () => {
  it('offers what the published chart gives for each chord', () => {
    for (const row of table.by_quality) {
      const first = row.chords.split(', ')[0] ?? '';
      const offered = scalesFor(chordOf(first)).map((item) => item.scale.name);
      for (const name of row.scales.split(', ')) {
        if (name === 'suspended pentatonic') continue;
        expect(offered, first).toContain(CHART_NAMES[name] ?? name);
      }
    }
  });

  it('lets an altered note in the symbol decide before the function does', () => {
    const first = (text: string): string | undefined =>
      scalesFor(chordOf(text), keyOf('C major'))[0]?.scale.name;
    expect(first('G7#11')).toBe('lydian b7');
    expect(first('G7b9')).toBe('half-whole diminished');
    expect(first('G13b9')).toBe('half-whole diminished');
    expect(first('G7b9b13')).toBe('mixolydian b9 b13');
    expect(first('G7#9')).toBe('altered');
    expect(first('G7#5#9')).toBe('altered');
    expect(first('G9#5')).toBe('whole tone');
    expect(first('Cmaj7#11')).toBe('lydian');
    expect(first('Cmaj7#5')).toBe('lydian augmented');
    expect(first('G7b9sus4')).toBe('dorian b2');
  });

  it('never offers a first scale that lacks a note of the chord', () => {
    for (const mask of constructibleMasks()) {
      const quality = qualityOfMask(mask);
      if (quality.alt) continue;
      const chord = { ...chordOf('C'), quality };
      const scale = scalesFor(chord, keyOf('F major'))[0];
      if (!scale) continue;
      const held = scale.notes.map((pc) => (pc * 7 + 144) % 12);
      const missing = quality.semitones.filter((tone) => !held.includes(tone % 12));
      const fifthOverDominant = quality.family === 'dominant' ? [7] : [];
      expect(
        missing.filter((tone) => !fifthOverDominant.includes(tone)),
        quality.suffix,
      ).toEqual([]);
    }
  });
});

describe('tensions', () => {
  const tensions = (text: string, key?: string): string =>
    names(tensionsOf(chordOf(text), key ? keyOf(key) : null));

  it('gives an altered dominant its four altered tensions and never a natural ninth or thirteenth', () => {
    expect(tensions('C7alt')).toBe('Db D# F# Ab');
    expect(scalesFor(chordOf('C7alt'))[0]?.scale.name).toBe('altered');
    expect(names(scalesFor(chordOf('C7alt'))[0]?.notes ?? [])).toBe('C Db D# E Gb G# Bb');
  });

  it('leaves out what the chord already has', () => {
    expect(tensions('Cmaj9', 'C major')).toBe('A');
    expect(tensions('C6/9', 'C major')).toBe('');
    expect(tensions('Dm11', 'C major')).toBe('');
  });

  it('reads the tensions of an altered chord from its scale', () => {
    expect(tensions('G7b9', 'C major')).toBe('A# C# E');
    expect(tensions('G7#11', 'C major')).toBe('A E');
    expect(names(avoidNotes(chordOf('G7b9b13'), keyOf('C major')))).toBe('C');
  });

  it('asks for a scale and a function by name and refuses any other', () => {
    expect(functionRow('V7/ii').degree).toBe('6');
    expect(() => scaleByName('sunny')).toThrow('sunny');
    expect(new Set(SCALES.map((scale) => scale.name)).size).toBe(SCALES.length);
  });
});
