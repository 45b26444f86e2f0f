import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { harmonyOf, keyOf, pitchClasses } from '../../tests/support/chord.ts';
import { constructibleMasks } from '../../tests/support/qualities.ts';
import { instrumentById, type KeySpelling, writtenKey } from '../pitch/instruments.ts';
import { interval, invert } from '../pitch/interval.ts';
import { keyName, signatureOf } from '../pitch/key.ts';
import { alterOf, modulo } from '../pitch/spelled.ts';
import { formatHarmony, symbolOf } from './format.ts';
import type { Chord } from './model.ts';
import { qualityOfMask } from './quality.ts';
import { respellHarmony, transposeHarmony, writtenHarmony } from './transpose.ts';

/** A line of chords on an instrument's part. */
function part(id: string, key: string, chords: string, spelling: KeySpelling = 'fewest'): string {
  const instrument = instrumentById(id);
  const written = writtenKey(keyOf(key), instrument, spelling);
  return chords
    .split(' ')
    .map((text) => symbolOf(writtenHarmony(harmonyOf(text), instrument, keyOf(key), written)))
    .join(' ');
}

/** A line of chords as a copyist prints it in a key. */
function printed(key: string, chords: string): string {
  return chords
    .split(' ')
    .map((text) => symbolOf(respellHarmony(harmonyOf(text), keyOf(key))))
    .join(' ');
}

const QUALITIES = constructibleMasks().map(qualityOfMask);

const anyChord: fc.Arbitrary<Chord> = fc.record({
  kind: fc.constant('chord' as const),
  root: fc.integer({ min: -8, max: 12 }),
  quality: fc.constantFrom(...QUALITIES),
  bass: fc.option(fc.integer({ min: -8, max: 12 })),
  optional: fc.boolean(),
});

const anyKey = fc.record({
  tonic: fc.integer({ min: -5, max: 6 }),
  mode: fc.constantFrom('major' as const, 'minor' as const),
});

describe('moving a chord', () => {
  it('comes back to the same spelling when moved there and back', () => {
    const intervals = fc.integer({ min: -12, max: 12 }).map((fifths) => {
      return interval(fifths, modulo(fifths * 7, 12));
    });
    fc.assert(
      fc.property(anyChord, intervals, (chord, by) => {
        expect(transposeHarmony(transposeHarmony(chord, by), invert(by))).toEqual(chord);
      }),
      { seed: 3 },
    );
  });

  it('leaves no sign behind when signs move up a semitone', () => {
    // Common practice, no source: a minor second up is seven fifths down and twelve back.
    const up = interval(-5, 1);
    const moved = ['B♭Δ7', 'F♯ø7', 'C°7', 'E♭−7'].map((text) =>
      symbolOf(respellHarmony(transposeHarmony(harmonyOf(text), up), keyOf('C major'))),
    );
    expect(moved).toEqual(['Bmaj7', 'Gm7b5', 'Dbdim7', 'Em7']);
  });

  it('keeps no chord and alt as they are', () => {
    expect(part('tenor-sax', 'C major', 'N.C. N.C. G7 C7alt')).toBe('N.C. N.C. A7 D7alt');
  });
});

// Common practice, no source, for the rows below; the written keys follow tests/reference/transposition.json.
describe('spelling chords as a copyist prints them', () => {
  it('leaves borrowed chords and dominants on the flat side flat', () => {
    expect(printed('C major', 'C Bb7 C Eb7 Ab7 Db7')).toBe('C Bb7 C Eb7 Ab7 Db7');
    expect(part('alto-sax', 'C major', 'C Bb7 C')).toBe('A G7 A');
    expect(printed('C major', 'D#7 G#7 A#7 C#7')).toBe('Eb7 Ab7 Bb7 Db7');
  });

  it('writes concert E for the alto in five flats, in sharps only when asked, never mixed', () => {
    expect(part('alto-sax', 'E major', 'E6 F#m7 B7 E6')).toBe('Db6 Ebm7 Ab7 Db6');
    expect(part('alto-sax', 'E major', 'E6 F#m7 B7 E6', 'sharps')).toBe('C#6 D#m7 G#7 C#6');
    const flats = part('alto-sax', 'E major', 'E6 G#m7 C#m7 F#7 A6 Am6 C7 F7 G#7 D#m7b5');
    expect(flats).not.toContain('#');
  });

  it('writes sections in their own keys', () => {
    expect(part('tenor-sax', 'A major', 'A6 Bm7 E7')).toBe('B6 C#m7 F#7');
    expect(part('tenor-sax', 'C major', 'Cmaj7 Dm7 G7')).toBe('Dmaj7 Em7 A7');
  });

  it('avoids roots on Cb, Fb, E# and B# unless the signature has them', () => {
    expect(printed('Bb major', 'Cb7 Fb7')).toBe('B7 E7');
    expect(printed('Db major', 'Ebb7 Cb7 Bbbmaj7 Fb7')).toBe('D7 B7 Amaj7 E7');
    expect(printed('Gb major', 'Cbmaj7 Fb7')).toBe('Cbmaj7 E7');
    expect(printed('F# major', 'E#m7b5 B#m7b5')).toBe('E#m7b5 Cm7b5');
    expect(printed('B major', 'E#m7b5 A#7')).toBe('Fm7b5 A#7');
    expect(printed('Eb minor', 'Cbmaj7')).toBe('Cbmaj7');
  });

  it('keeps rising sharps and falling flats of diminished and minor chords', () => {
    expect(printed('C major', 'C#dim7 D#dim7 G#dim7 Ebdim7')).toBe('C#dim7 D#dim7 G#dim7 Ebdim7');
    expect(printed('C major', 'F#m7b5 C#m7 Gbm7 Gbm7b5')).toBe('F#m7b5 C#m7 F#m7 F#m7b5');
  });

  it('moves the bass with its chord and spells it as the note of the chord it is', () => {
    expect(printed('C major', 'Abm/Cb Cdim7/Bbb Ebb7/C')).toBe('Abm/Cb Cdim7/A D7/C');
    expect(printed('Bb major', 'Cb/Eb')).toBe('B/D#');
    expect(part('alto-sax', 'Eb major', 'Abm6/Cb Ebmaj7/G')).toBe('Fm6/Ab Cmaj7/E');
  });

  it('never prints a double accidental or a foreign white-key root, and never changes the sound', () => {
    fc.assert(
      fc.property(anyChord, anyKey, (chord, key) => {
        const made = respellHarmony(chord, key) as Chord;
        expect(Math.abs(alterOf(made.root))).toBeLessThan(2);
        if (made.bass !== null) expect(Math.abs(alterOf(made.bass))).toBeLessThan(2);
        const white = [-8, -7, 11, 12].includes(made.root);
        const signature = signatureOf(key);
        const diatonic = made.root >= signature - 1 && made.root <= signature + 5;
        expect(white && !diatonic).toBe(false);
        expect(pitchClasses(made)).toEqual(pitchClasses(chord));
        expect(respellHarmony(made, key)).toEqual(made);
      }),
      { numRuns: 3000, seed: 11 },
    );
  });

  it('spells the twelve keys of a turnaround for every common transposition without a stray accidental', () => {
    const keys = ['C', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'G', 'D', 'A', 'E', 'B', 'F#'];
    for (const name of keys) {
      for (const id of ['flute', 'tenor-sax', 'alto-sax', 'horn-f']) {
        const concert = keyOf(`${name} major`);
        const written = writtenKey(concert, instrumentById(id));
        const line = [4, 3, 2, 1].map(
          (fifths, index): Chord => ({
            kind: 'chord',
            root: concert.tonic + fifths,
            quality: QUALITIES[index] as Chord['quality'],
            bass: null,
            optional: false,
          }),
        );
        for (const chord of line) {
          const made = writtenHarmony(chord, instrumentById(id), concert, written) as Chord;
          expect(
            made.root - written.tonic,
            `${keyName(written)} ${formatHarmony(made, { style: 'words', accidentals: 'ascii' })}`,
          ).toBe(chord.root - concert.tonic);
        }
      }
    }
  });
});
