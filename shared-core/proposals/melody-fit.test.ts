import { describe, expect, it } from 'vitest';
import { parseChord } from '../chord/parse.ts';
import { fitOn } from './melody-fit.ts';

function fits(symbol: string, falls: boolean): Record<string, number[]> {
  const read = parseChord(symbol);
  if (!read.ok || read.value.kind !== 'chord') throw new Error(symbol);
  const found: Record<string, number[]> = {};
  for (let above = 0; above < 12; above++) {
    const fit = fitOn(read.value.quality, above, falls);
    found[fit] = [...(found[fit] ?? []), above];
  }
  return found;
}

// Semitones above the root. Rules: a semitone above a chord tone fails; dominants that fall a fifth take b9
// #9 #11 b13; the natural four over a dominant wants the suspended chord (common practice, no source).
describe('how a melody note sits on a chord', () => {
  it.each([
    ['maj7', false, [0, 4, 7, 11], [2, 6, 9], [3], [1, 5, 8, 10]],
    ['m7', false, [0, 3, 7, 10], [2, 5, 6, 9], undefined, [1, 4, 8, 11]],
    ['7', true, [0, 4, 7, 10], [1, 2, 3, 6, 8, 9], [5], [11]],
    ['7', false, [0, 4, 7, 10], [2, 6, 9], [3, 5], [1, 8, 11]],
    ['m7b5', false, [0, 3, 6, 10], [2, 5, 8, 9], undefined, [1, 4, 7, 11]],
    ['dim7', false, [0, 3, 6, 9], [2, 5, 8, 11], undefined, [1, 4, 7, 10]],
    ['7alt', true, [0, 4, 10], [1, 3, 6, 8], undefined, [2, 5, 7, 9, 11]],
  ] as const)('over C%s, falling %s', (suffix, falls, tones, tensions, avoid, clashes) => {
    expect(fits(`C${suffix}`, falls)).toEqual({
      'chord-tone': tones,
      tension: tensions,
      clash: clashes,
      ...(avoid ? { avoid } : {}),
    });
  });

  it('calls B over the backdoor Bb7 a clash: it is the flat nine of a chord that does not fall a fifth', () => {
    expect(fits('Bb7', false).clash).toContain(1);
  });
});
