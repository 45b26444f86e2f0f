import { describe, expect, it } from 'vitest';
import { lowestUnder, mud, mudOver } from './limits.ts';

describe('the low interval limits', () => {
  it('let wider intervals lie lower, the fifth lowest of those within the octave', () => {
    expect(lowestUnder(1)).toBeGreaterThan(lowestUnder(4));
    expect(lowestUnder(4)).toBeGreaterThan(lowestUnder(7));
  });

  it('name no limit for an octave', () => {
    expect(lowestUnder(12)).toBe(0);
  });
});

describe('the mud of a voicing', () => {
  it('is nothing from the limit up and a semitone for every semitone below it', () => {
    const low = lowestUnder(4);
    expect(mud([low, low + 4, low + 7])).toBe(0);
    expect(mud([low - 3, low + 1, low + 4])).toBe(3);
  });

  it('is nothing for one note or none', () => {
    expect([mud([]), mud([20])]).toEqual([0, 0]);
    expect(mudOver(0, [])).toBe(0);
  });

  it('counts the root that is not played as if it stood just below', () => {
    // E3 G3 over an unheard C3 (a major third on 48, limit 47) is clear; an octave lower it is not.
    expect(mudOver(0, [52, 55])).toBe(0);
    expect(mudOver(0, [40, 43])).toBeGreaterThan(mud([40, 43]));
  });

  it('does not count a root twice where it is the bottom note', () => {
    expect(mudOver(0, [36, 52, 58])).toBe(mud([36, 52, 58]));
  });
});
