import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { interval, intervalBetween, invert, naturalOf, transposePitch } from './interval.ts';
import { keyName, parseKey, sameKey, signatureOf } from './key.ts';
import {
  alterOf,
  chromaOf,
  letterOf,
  midiOf,
  nameOf,
  parsePitch,
  parseSpelled,
  pitchAt,
  pitchName,
  respellNear,
  spelled,
  staffStep,
  stepOf,
} from './spelled.ts';

const places = fc.integer({ min: -15, max: 19 });

describe('spelled pitch', () => {
  it('reads every pitch name it writes, and nothing else', () => {
    fc.assert(
      fc.property(places, fc.integer({ min: -1, max: 9 }), (pc, octave) => {
        expect(parsePitch(pitchName({ pc, octave }))).toEqual({ pc, octave });
      }),
    );
    for (const wrong of ['', 'Eb', '4', 'H4', 'Eb44', 'eb4', 'E b4'])
      expect(parsePitch(wrong)).toBeNull();
  });

  it('reads and writes every name with up to two accidentals', () => {
    fc.assert(
      fc.property(places, (pc) => {
        expect(parseSpelled(nameOf(pc))).toBe(pc);
      }),
    );
    expect(parseSpelled('E♭')).toBe(-3);
    expect(parseSpelled('F𝄪')).toBe(13);
    expect(parseSpelled('h')).toBeNull();
    expect(parseSpelled('Eb4')).toBeNull();
  });

  it('keeps letter, accidental and sound apart', () => {
    expect([letterOf(-3), alterOf(-3), chromaOf(-3), stepOf(-3)]).toEqual(['E', -1, 3, 2]);
    expect(chromaOf(parseSpelled('D#') ?? 0)).toBe(3);
    expect(spelled('B', -2)).toBe(-9);
    expect(nameOf(respellNear(9, 0))).toBe('Eb');
  });

  it('changes octave at C by the written letter', () => {
    // MIDI 1.0 and scientific pitch notation: middle C is C4 = 60.
    expect(midiOf({ pc: 0, octave: 4 })).toBe(60);
    expect(midiOf({ pc: 12, octave: 3 })).toBe(60);
    expect(midiOf({ pc: -7, octave: 4 })).toBe(59);
    expect(pitchName(pitchAt(60, 12))).toBe('B#3');
    expect(() => pitchAt(60, 1)).toThrow('not a G');
    expect(staffStep({ pc: 12, octave: 3 })).toBe(27);
  });

  it('moves by an interval and back to the same spelling', () => {
    const pitches = fc.record({ pc: places, octave: fc.integer({ min: 1, max: 7 }) });
    fc.assert(
      fc.property(pitches, pitches, (low, high) => {
        const by = intervalBetween(low, high);
        expect(transposePitch(low, by)).toEqual(high);
        expect(transposePitch(high, invert(by))).toEqual(low);
      }),
    );
    expect(() => interval(1, 5)).toThrow('No interval');
    expect(nameOf(naturalOf(-3))).toBe('E');
  });
});

describe('keys', () => {
  it('reads the ways a chart names a key', () => {
    const same = ['Bb minor', 'Bbm', 'B♭ min', 'bb minor'].map(parseKey);
    for (const key of same) expect(key && keyName(key)).toBe('Bb minor');
    expect(parseKey('H major')).toBeNull();
    expect(sameKey({ tonic: 0, mode: 'major' }, { tonic: 0, mode: 'minor' })).toBe(false);
  });

  it('counts the accidentals of the signature', () => {
    // MusicXML 4.0, key/fifths: C major 0, sharps positive.
    const signature = (text: string): number =>
      signatureOf(parseKey(text) ?? { tonic: 99, mode: 'major' });
    expect([signature('Eb major'), signature('C minor'), signature('F# minor')]).toEqual([
      -3, -3, 3,
    ]);
  });
});
