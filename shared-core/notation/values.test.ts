import { describe, expect, it } from 'vitest';
import { noteValues } from './values.ts';

const FOUR = { count: 4, unit: 4 };
const names = (at: number, length: number, meter = FOUR): string[] =>
  noteValues(at, length, meter).map(
    ({ type, dots, triplet }) => `${dots ? 'dotted ' : ''}${type}${triplet ? ' triplet' : ''}`,
  );

describe('note values', () => {
  it('writes single values as one', () => {
    expect(names(0, 3840)).toEqual(['whole']);
    expect(names(0, 2880)).toEqual(['dotted half']);
    expect(names(0, 320)).toEqual(['eighth triplet']);
    expect(names(0, 720)).toEqual(['dotted eighth']);
  });

  it('ties what no single value lasts', () => {
    expect(names(0, 2400)).toEqual(['half', 'eighth']);
    expect(names(0, 4800)).toEqual(['whole', 'quarter']);
  });

  it('shows the beat that a late note runs over', () => {
    expect(names(480, 1440)).toEqual(['eighth', 'quarter']);
    expect(names(480, 960)).toEqual(['quarter']);
  });

  it('always lasts exactly as long as asked', () => {
    for (let at = 0; at < 3840; at += 120) {
      for (let length = 60; at + length <= 3840; length += 60) {
        const sum = noteValues(at, length, FOUR).reduce((total, { ticks }) => total + ticks, 0);
        expect(sum).toBe(length);
      }
    }
  });
});
