import { describe, expect, it } from 'vitest';
import { paginate } from './paginate.ts';
import type { SetSystem } from './system.ts';

const ROOM = { first: 600, later: 660, gap: 12, tightGap: 4, wideGap: 26 };

/** Lines of a height; `b` opens a chorus, `s` a section, `.` a phrase, `-` none. */
function lines(pattern: string, height = 60): SetSystem[] {
  return [...pattern].map((sign, first) => ({
    items: [],
    height,
    tail: 0,
    corner: false,
    first,
    opens: { block: sign === 'b', section: sign === 'b' || sign === 's', phrase: sign !== '-' },
    marks: [],
  }));
}

const pages = (pattern: string, height?: number): number[] =>
  paginate(lines(pattern, height), ROOM).pages.map((page) => page.length);

describe('dealing lines out to pages', () => {
  it('puts a chart on one page where it fits, with less air if need be', () => {
    expect(pages('b.s.s.s.')).toEqual([8]);
    expect(pages('b.s.s.s.s')).toEqual([9]);
  });

  it('turns where a chorus begins', () => {
    expect(pages('b.s.s.b.s.s.')).toEqual([6, 6]);
  });

  it('turns where a section begins when no chorus does', () => {
    expect(pages('b...s...s...s...')).toEqual([8, 8]);
  });

  it('turns after a phrase of four bars rather than inside one', () => {
    expect(pages('b-.-.-.-.-.-.-.-')).toEqual([8, 8]);
    expect(pages('b-.-.-..-.-.-.-.')).toEqual([7, 9]);
  });

  it('keeps the closest page as open as can be where the turns are as good', () => {
    // Ten places a page at the least air: nine and nine leave each page some, ten and eight would not.
    expect(pages('b.................')).toEqual([9, 9]);
    // A turn between sections is worth a little less air, not a page without any.
    expect(pages('b.......s.........')).toEqual([8, 10]);
    expect(pages('b...........s.....', 44)).toEqual([9, 9]);
  });

  it('leaves no lone line for the last page where it can', () => {
    expect(pages('b..b..b..b')).toEqual([6, 4]);
  });

  it('needs no page more than it must, and shares the air out', () => {
    // Twenty lines of 60 with 4 between fill 9 and 10 places; breaking at the chorus would cost a third page.
    expect(pages('b.s.s.s.b.s.s.s.b.s')).toEqual([9, 10]);
    expect(pages('b.s.s.b.s.s.s.')).toEqual([6, 8]);
  });

  it('never lets lines overlap or run off the page', () => {
    for (const height of [20, 60, 140, 590]) {
      const plan = paginate(lines('b.s.s.s.b.s.s.s.b.s', height), ROOM).pages;
      expect(plan.flat()).toHaveLength(19);
      plan.forEach((page, index) => {
        page.forEach(({ y, system }, line) => {
          const next = page[line + 1];
          if (next) expect(next.y).toBeGreaterThanOrEqual(y + system.height);
          expect(y + system.height).toBeLessThanOrEqual(index === 0 ? ROOM.first : ROOM.later);
        });
      });
    }
  });
});
