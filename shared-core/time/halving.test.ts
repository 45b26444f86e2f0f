import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lastStartingBy } from './halving.ts';

describe('the last item that starts by a tick', () => {
  it('is the one a walk from the front finds', () => {
    const starts = fc.array(fc.nat(50), { maxLength: 20 }).map((all) => all.sort((a, b) => a - b));
    fc.assert(
      fc.property(starts, fc.nat(60), (all, at) => {
        const walked = Math.max(0, all.filter((start) => start <= at).length - 1);
        expect(
          lastStartingBy(
            all.map((start) => ({ start })),
            at,
          ),
        ).toBe(walked);
      }),
    );
  });
});
