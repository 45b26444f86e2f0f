import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { setAlong } from './set-along.ts';

describe('symbols set along a line', () => {
  it('stand at their times in full size where there is room', () => {
    const line = [
      { x: 0, width: 40 },
      { x: 60, width: 40 },
    ];
    expect(setAlong(line, 120)).toEqual({ scale: 1, condense: 1, xs: [0, 60] });
  });

  it('become smaller, all alike, before they leave their places', () => {
    const line = [
      { x: 0, width: 50 },
      { x: 40, width: 40 },
    ];
    const { scale, xs } = setAlong(line, 80);
    expect(scale).toBeLessThan(1);
    expect(xs[1]).toBeGreaterThan(33);
  });

  it('begin early where the chord before has room to spare', () => {
    const line = [
      { x: 0, width: 40 },
      { x: 180, width: 50 },
      { x: 207, width: 50 },
    ];
    const { condense, xs } = setAlong(line, 234);
    expect(condense).toBe(1);
    expect(xs[0]).toBe(0);
    expect(xs[1]).toBeLessThan(180);
  });

  it('never cover one another and never leave the line', () => {
    const lines = fc
      .array(
        fc.record({
          gap: fc.integer({ min: 10, max: 90 }),
          width: fc.integer({ min: 12, max: 80 }),
        }),
        {
          minLength: 1,
          maxLength: 12,
        },
      )
      .map((items) => {
        let x = 0;
        const line = items.map(({ gap, width }) => {
          const one = { x, width };
          x += gap;
          return one;
        });
        return { line, end: x };
      });
    fc.assert(
      fc.property(lines, ({ line, end }) => {
        const { scale, condense, xs } = setAlong(line, end);
        // Below two fifths of its width no letter can be read; such a line is too short for its changes.
        fc.pre(condense > 0.4);
        line.forEach(({ x, width }, index) => {
          const begin = xs[index] ?? Number.NaN;
          const next = xs[index + 1] ?? end;
          expect(begin).toBeGreaterThanOrEqual(-0.001);
          expect(begin).toBeLessThanOrEqual(x + 0.001);
          expect(begin + width * scale * condense).toBeLessThanOrEqual(next + 0.001);
        });
      }),
    );
  });
});
