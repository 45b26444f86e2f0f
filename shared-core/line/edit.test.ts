import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { harmonyOf } from '../../tests/support/chord.ts';
import { parseKey } from '../pitch/key.ts';
import { alterOf, midiOf, parsePitch, pitchName } from '../pitch/spelled.ts';
import { moveNote, spelledOver, stretchNote } from './edit.ts';

function keyOf(text: string) {
  const key = parseKey(text);
  if (!key) throw new Error(text);
  return key;
}

function lineOf(...names: readonly string[]) {
  return names.map((name, index) => {
    const pitch = parsePitch(name);
    if (!pitch) throw new Error(name);
    return { start: index * 960, length: 480, pitch };
  });
}

// Common practice, no source: chord tones keep the chord's letters; between them sharps rise and flats fall.
const ROWS = [
  ['Cm7', 'C minor', 'D4', 1, 'Eb4'],
  ['D7', 'C major', 'F4', 1, 'F#4'],
  ['Fm6', 'C major', 'A4', -1, 'Ab4'],
  ['Ebm6', 'Bb major', 'F4', 1, 'Gb4'],
  ['B7alt', 'E minor', 'D4', 1, 'D#4'],
  ['Cmaj7', 'C major', 'F4', 1, 'F#4'],
  ['Cmaj7', 'C major', 'D4', 1, 'D#4'],
  ['Cmaj7', 'C major', 'E4', -1, 'Eb4'],
  ['Bbmaj7', 'Bb major', 'C5', -1, 'B4'],
  ['Cmaj7', 'C major', 'B3', 1, 'C4'],
  ['Gbmaj7', 'Gb major', 'Db4', 1, 'D4'],
] as const;

describe('moving a note of a line', () => {
  it.each(ROWS)('over %s in %s, %s by %i is %s', (symbol, key, from, by, to) => {
    const moved = moveNote(lineOf(from), 0, by, harmonyOf(symbol), keyOf(key));
    expect(moved?.map(({ pitch }) => pitchName(pitch))).toEqual([to]);
  });

  it('keeps the spelling by octaves, the length, and every other note', () => {
    const line = lineOf('C4', 'D#4', 'E4');
    const moved = moveNote(line, 1, 12, harmonyOf('Cm7'), keyOf('C minor'));
    expect(moved?.map(({ pitch }) => pitchName(pitch))).toEqual(['C4', 'D#5', 'E4']);
    expect(moved?.[1]?.length).toBe(480);
    expect(moved?.[0]).toBe(line[0]);
  });

  it('stays on the piano', () => {
    expect(moveNote(lineOf('C8'), 0, 1, null, keyOf('C major'))).toBeNull();
    expect(moveNote(lineOf('A0'), 0, -12, null, keyOf('C major'))).toBeNull();
  });

  it('sounds right and is read without double accidentals, over any chord in every key', () => {
    const symbols = fc.constantFrom('C', 'Dm7', 'G7', 'B7alt', 'Ab7#11', 'Ebm6', 'F#m7b5', 'Db7');
    const keys = fc.constantFrom('C', 'G', 'D', 'A', 'E', 'B', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'Gb');
    fc.assert(
      fc.property(
        fc.integer({ min: 21, max: 108 }),
        symbols,
        keys,
        fc.boolean(),
        (midi, symbol, key, rising) => {
          const pitch = spelledOver(midi, harmonyOf(symbol), keyOf(`${key} major`), rising);
          expect(midiOf(pitch)).toBe(midi);
          expect(Math.abs(alterOf(pitch.pc))).toBeLessThanOrEqual(1);
        },
      ),
    );
  });
});

describe('stretching a note of a line', () => {
  const line = lineOf('C4', 'D4');

  it('goes by eighths up to the next note and to the end of the line', () => {
    expect(stretchNote(line, 0, 1, 1920)?.[0]?.length).toBe(960);
    expect(stretchNote(line, 0, 2, 1920)).toBeNull();
    expect(stretchNote(line, 1, 1, 1920)?.[1]?.length).toBe(960);
    expect(stretchNote(line, 1, 2, 1920)).toBeNull();
  });

  it('leaves an eighth at least', () => {
    expect(stretchNote(line, 0, -1, 1920)).toBeNull();
  });
});
