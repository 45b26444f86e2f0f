import { expect, test } from 'vitest';
import { chordNamed } from '../../tests/support/site.ts';
import { pairTable } from './pair-table.ts';

test('two chords are worked out once for their qualities and the interval between their roots', () => {
  const asked: number[] = [];
  const between = pairTable((_from, _to, up) => {
    asked.push(up);
    return { up };
  });
  const first = between(chordNamed('Dm7'), chordNamed('G7'));
  expect(first).toEqual({ up: 5 });
  expect(between(chordNamed('Ebm7'), chordNamed('Ab7'))).toBe(first);
  expect(between(chordNamed('D#m7'), chordNamed('Ab7'))).toBe(first);
  expect(between(chordNamed('G7'), chordNamed('Dm7'))).toEqual({ up: 7 });
  expect(between(chordNamed('Dm7'), chordNamed('G9'))).not.toBe(first);
  expect(asked).toEqual([5, 7, 5]);
});
