import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { keyOf } from '../../tests/support/chord.ts';
import { distanceFrom, inSignature, respellSpelled } from './copyist.ts';
import { chromaOf, nameOf, parseSpelled } from './spelled.ts';

/** Notes as printed in a key. Common practice, no source. */
function printed(key: string, notes: string): string {
  return notes
    .split(' ')
    .map((name) => nameOf(respellSpelled(parseSpelled(name) ?? Number.NaN, keyOf(key))))
    .join(' ');
}

describe('spelling notes of a line in a key', () => {
  it('keeps rising sharps and falling flats', () => {
    expect(printed('C major', 'C# D# F# G# A# Db Eb Gb Ab Bb')).toBe(
      'C# D# F# G# A# Db Eb Gb Ab Bb',
    );
    expect(printed('F major', 'Cb B')).toBe('Cb B');
  });

  it('keeps the double sharp of a minor leading tone and no other double accidental', () => {
    expect(printed('G# minor', 'F##')).toBe('F##');
    expect(printed('C major', 'F## Bbb Ebb')).toBe('G A D');
    expect(printed('C# minor', 'B#')).toBe('B#');
  });

  it('brings notes from far keys into the key', () => {
    expect(printed('Db major', 'F# C# E#')).toBe('Gb Db F');
    expect(printed('E major', 'Db Ab Eb')).toBe('C# G# D#');
  });

  it('keeps the seven notes of the signature and the sound of every note', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -20, max: 25 }),
        fc.integer({ min: -7, max: 7 }),
        (pc, tonic) => {
          const key = { tonic, mode: 'major' as const };
          const made = respellSpelled(pc, key);
          expect(chromaOf(made)).toBe(chromaOf(pc));
          if (inSignature(key, pc)) expect(made).toBe(pc);
          expect(respellSpelled(made, key)).toBe(made);
        },
      ),
      { seed: 9 },
    );
    expect(distanceFrom(keyOf('A minor'), 6)).toBe(6);
  });
});
