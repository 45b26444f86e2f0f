import { describe, expect, it } from 'vitest';
import { qualityOf } from '../chord/build.ts';
import { toneSets } from './material.ts';

const SUFFIXES = [
  '',
  'm',
  '6',
  'm6',
  'maj7',
  '7',
  'm7',
  'm7b5',
  'dim7',
  '7b9',
  '7#9',
  '9',
  '13',
  '7sus4',
  'sus4',
  '7alt',
  'mMaj7',
  'aug',
  '7#5',
  '6/9',
  'm9',
  'm11',
  'maj7#11',
  '11',
  '5',
];
const numbers = (suffix: string, kind: string): number[][] =>
  toneSets(qualityOf(suffix))
    .filter((set) => set.kind === kind)
    .map((set) => set.tones.map(({ number }) => number));

describe('the tones a player chooses from', () => {
  it.each(SUFFIXES)('are there for "%s", no tone twice in a set', (suffix) => {
    const sets = toneSets(qualityOf(suffix));
    expect(sets.length).toBeGreaterThan(0);
    for (const { tones } of sets)
      expect(new Set(tones.map(({ semitones }) => semitones)).size).toBe(tones.length);
  });

  it('drop the fifth first when there are too many', () => {
    for (const set of numbers('13', 'four')) expect(set).not.toContain(5);
  });

  it('put the ninth for the root in rootless sets, and the thirteenth for the fifth of a dominant', () => {
    expect(numbers('7', 'rootless')[0]).toEqual([3, 13, 7, 9]);
    expect(numbers('maj7', 'rootless')).toEqual([[3, 5, 7, 9]]);
  });

  it('keep the root of half-diminished and diminished chords', () => {
    expect(numbers('m7b5', 'rootless')).toEqual([]);
    expect(numbers('dim7', 'rootless')).toEqual([]);
  });

  it('hold the flat ninth and flat thirteenth for an altered chord', () => {
    const [set] = toneSets(qualityOf('7alt'));
    expect(set?.tones.map(({ semitones }) => semitones)).toEqual([4, 8, 10, 1]);
  });

  it('take the fourth for the third of a suspended chord', () => {
    for (const set of numbers('7sus4', 'shell')) expect(set).toEqual([1, 4, 7]);
  });

  it('are worked out once for a quality', () => {
    expect(toneSets(qualityOf('m7'))).toBe(toneSets(qualityOf('m7')));
  });
});
