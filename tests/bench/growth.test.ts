import { describe, expect, it } from 'vitest';
import { growthAgainstLinear, growthPlot } from './growth.ts';

describe('growth with bars', () => {
  it('is one when twice the bars take twice the time, two when they take four times', () => {
    expect(
      growthAgainstLinear([
        { bars: 16, time: 2 },
        { bars: 32, time: 4 },
      ]),
    ).toBe(1);
    expect(
      growthAgainstLinear([
        { bars: 32, time: 8 },
        { bars: 16, time: 2 },
      ]),
    ).toBe(2);
    expect(() => growthAgainstLinear([{ bars: 16, time: 2 }])).toThrow(RangeError);
  });

  it('is drawn with every point named', () => {
    const plot = growthPlot(
      [
        { bars: 16, time: 2 },
        { bars: 64, time: 8.25 },
      ],
      'Proposals',
    );
    expect(plot).toContain('8.3 ms');
    expect(plot.match(/<circle/gu)).toHaveLength(2);
  });
});
