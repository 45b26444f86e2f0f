import { describe, expect, it } from 'vitest';
import { chorusRows } from './chorus-rows.ts';
import { type Floating, fixedAt } from './floating.ts';

/** Words for a chorus from x to y that may move left to 0; `short` where they stand without its name. */
function words(chorus: number, x: number, end: number, short: number | null = null): Floating {
  const box = { ...fixedAt(x), width: end - x, height: 14, least: 0, chorus, draw: () => [] };
  const after = short === null ? null : { ...box, x: short, width: end - short, chorus: null };
  return { ...box, after };
}

const rows = (...given: Floating[]): string[][] =>
  chorusRows(given, 1).map((row) =>
    row.map(({ chorus, x, width }) => `${chorus}: ${x}-${x + width}`),
  );

describe('what stands over a line for single choruses', () => {
  it('has a row for each, the first on top', () => {
    expect(rows(words(2, 0, 50), words(3, 0, 50), words(2, 60, 100), words(4, 70, 90))).toEqual([
      ['4: 70-90'],
      ['3: 0-50'],
      ['2: 0-50', '2: 60-100'],
    ]);
  });

  it('leaves the chorus out where words follow others of it and would touch them', () => {
    expect(rows(words(2, 0, 50), words(2, 40, 100, 55))).toEqual([['2: 0-100']]);
    expect(rows(words(2, 0, 60), words(2, 40, 100, 55))).toEqual([['2: 0-60'], ['2: 40-100']]);
  });

  it('moves words a little to the left for those after them, never out of the line', () => {
    expect(rows(words(2, 30, 80), words(2, 70, 120))).toEqual([['2: 20-70', '2: 70-120']]);
    expect(rows(words(2, 5, 80), words(2, 70, 120))).toEqual([['2: 5-80'], ['2: 70-120']]);
    expect(rows(words(2, 40, 100), words(2, 70, 120))).toEqual([['2: 40-100'], ['2: 70-120']]);
  });

  it('does not move words onto others before them', () => {
    expect(rows(words(2, 0, 25), words(2, 30, 80), words(2, 70, 120))).toEqual([
      ['2: 0-25', '2: 30-80'],
      ['2: 70-120'],
    ]);
  });
});
