import { describe, expect, test } from 'vitest';
import { siteFrom } from '../../tests/support/site.ts';
import { gridOf, placeName, splitTicks } from './grid.ts';
import { spread, tailLayouts } from './layouts.ts';
import type { Site } from './model.ts';
import { awaySlots, leadPairs, leadTails, pairSlots } from './slots.ts';

/** Where changes may fall. Divisions of the bar are common practice, no source. */

const bars = (count: number, meter = '4/4', next = 'G7'): Site =>
  siteFrom('C major', `|${' Cmaj7 |'.repeat(count)}`, next, meter);

const ids = (slots: readonly { readonly id: string }[]): string[] => slots.map((slot) => slot.id);

describe('the bar', () => {
  test.each([
    [{ count: 4, unit: 4 }, 1920],
    [{ count: 3, unit: 4 }, 1920],
    [{ count: 5, unit: 4 }, 2880],
    [{ count: 6, unit: 8 }, 1440],
    [{ count: 12, unit: 8 }, 2880],
    [{ count: 2, unit: 4 }, 960],
    [{ count: 7, unit: 4 }, 3840],
  ])('%o divides after %i ticks', (meter, ticks) => {
    expect(splitTicks(meter)).toBe(ticks);
  });

  test('a bar of one beat does not divide', () => {
    expect(splitTicks({ count: 1, unit: 4 })).toBeNull();
  });
});

describe('leaving and coming home', () => {
  test('in two bars of 4/4 the second half of the first comes first', () => {
    expect(ids(awaySlots(bars(2), false))).toEqual(['b1.3', 'b2-half']);
  });

  test('in four bars the third bar comes first', () => {
    expect(ids(awaySlots(bars(4), false))).toEqual(['b3', 'b2', 'b3.3']);
  });

  test('where home follows, the last bar is open', () => {
    expect(ids(awaySlots(bars(4), true))).toContain('b4');
  });

  test('in 3/4 nobody comes home on the third beat', () => {
    const site = bars(2, '3/4');
    expect(awaySlots(site, false).map((slot) => slot.end)).toEqual([2880]);
  });

  test('a pair takes the two bars before the last of four', () => {
    const [pair] = pairSlots(bars(4), false);
    expect(pair).toMatchObject({ at: 3840, middle: 7680, end: 11520 });
  });
});

describe('leading on', () => {
  test('half a bar and a bar before the next chord', () => {
    expect(leadTails(bars(2)).map((slot) => slot.at)).toEqual([5760, 3840]);
  });

  test('a single bar keeps its first half', () => {
    expect(leadTails(bars(1)).map((slot) => slot.at)).toEqual([1920]);
  });

  test('two chords share the last bar, or take two', () => {
    expect(leadPairs(bars(4)).map((slot) => [slot.at, slot.middle])).toEqual([
      [11520, 13440],
      [7680, 11520],
    ]);
  });
});

describe('several chords in a row', () => {
  test('half bars and bars from the end', () => {
    expect(tailLayouts(bars(4), 4).map((layout) => layout.at)).toEqual([
      [7680, 9600, 11520, 13440, 15360],
      [0, 3840, 7680, 11520, 15360],
    ]);
  });

  test('beats in a single bar of four', () => {
    expect(tailLayouts(bars(1), 4).map((layout) => layout.id)).toEqual(['beats']);
  });

  test.each([
    [1, [0, 960, 1920, 2880, 3840]],
    [2, [0, 1920, 3840, 5760, 7680]],
    [3, [0, 1920, 3840, 7680, 11520]],
    [5, [0, 3840, 7680, 11520, 19200]],
    [8, [0, 7680, 15360, 23040, 30720]],
  ])('four chords dealt out over %i bars', (count, at) => {
    expect(spread(bars(count), 4)?.at).toEqual(at);
  });

  test('four chords do not go into one bar of 3/4', () => {
    expect(spread(bars(1, '3/4'), 4)).toBeNull();
  });
});

test('places are named by bar and beat of the span', () => {
  const site = bars(4);
  expect(gridOf(site).bars).toBe(4);
  expect(placeName(site, 0)).toBe('b1');
  expect(placeName(site, 5760)).toBe('b2.3');
});
