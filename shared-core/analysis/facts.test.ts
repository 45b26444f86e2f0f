import { describe, expect, it } from 'vitest';
import { parseChord } from '../chord/parse.ts';
import { CLASS, heard } from './facts.ts';
import type { ChordClass } from './weights.ts';

function sound(symbol: string): { root: number; class: number } {
  const read = parseChord(symbol);
  if (!read.ok) throw new Error(`${symbol} is not read`);
  return heard(read.value);
}

describe('heard', () => {
  // Common practice, no source: what a slash chord is to the ear.
  it.each<[string, number, ChordClass]>([
    ['Dm7/G', 7, 'sus'],
    ['F/G', 7, 'sus'],
    ['Fmaj7/G', 7, 'sus'],
    ['C/A', 9, 'min7'],
    ['Am/F#', 6, 'hdim'],
    ['Am/F', 5, 'maj7'],
    ['C/Bb', 0, 'dom'],
    ['Dm/C', 2, 'min7'],
    ['C/E', 0, 'maj'],
    ['G7/B', 7, 'dom'],
    ['D/Eb', 3, 'power'],
  ])('hears %s by its bass', (symbol, root, kind) => {
    expect(sound(symbol)).toEqual({ root, class: CLASS[kind] });
  });

  it.each<[string, ChordClass]>([
    ['C', 'maj'],
    ['C6', 'maj7'],
    ['Cmaj9', 'maj7'],
    ['Cm', 'min'],
    ['Cm9', 'min7'],
    ['Cm6', 'min6'],
    ['CmMaj7', 'min6'],
    ['C7alt', 'dom'],
    ['Cm7b5', 'hdim'],
    ['Cdim', 'dim'],
    ['Cdim7', 'dim'],
    ['Caug', 'aug'],
    ['C9sus4', 'sus'],
    ['C5', 'power'],
  ])('puts %s into its class', (symbol, kind) => {
    expect(sound(symbol).class).toBe(CLASS[kind]);
  });

  it('hears nothing in N.C.', () => {
    expect(sound('N.C.').root).toBe(-1);
  });
});
