import { describe, expect, it } from 'vitest';
import { clock, count, size, withSigns } from './words.ts';

describe('words', () => {
  it.each([
    ['Bb major', 'B♭ major'],
    ['F# minor', 'F♯ minor'],
    ['Ebb', 'E♭♭'],
    ['Ab over Cmaj7’s G', 'A♭ over Cmaj7’s G'],
    ['C5 against Em7b5, then A7#9b13', 'C5 against Em7♭5, then A7♯9♭13'],
    ['bar 2 of bb1', 'bar 2 of bb1'],
    ['the Band by Bob', 'the Band by Bob'],
    ['A bar before', 'A bar before'],
  ])('%j reads %j in print', (ascii, print) => {
    expect(withSigns(ascii)).toBe(print);
  });

  it.each([
    [0, '0:00'],
    [65, '1:05'],
    [3599.6, '1:00:00'],
    [3725, '1:02:05'],
  ])('%d seconds are %s', (seconds, words) => {
    expect(clock(seconds)).toBe(words);
  });

  it('count one and many', () => {
    expect([count(1, 'chorus', 'choruses'), count(2, 'chorus', 'choruses')]).toEqual([
      '1 chorus',
      '2 choruses',
    ]);
  });

  it.each([
    [512, '512 bytes'],
    [84_210, '84 KB'],
    [1_234_567, '1.2 MB'],
  ])('%d bytes are %s', (bytes, words) => {
    expect(size(bytes)).toBe(words);
  });
});
