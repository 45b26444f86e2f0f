import { describe, expect, it } from 'vitest';
import { arrangementOf, partOf, type TestPlacement, tuneOf } from '../../tests/support/parts.ts';
import { pageRoom } from './plan-page.ts';

const TUNE = tuneOf(
  [
    'title: Paper',
    'key: F major',
    'meter: 4/4',
    'form: A B A',
    '',
    '[A]',
    '| F7 | Bb7 | F7 | F7 | Bb7 | Bb7 | F7 | D7 |',
    '[B]',
    '| Gm7 | C7 | F7 | C7 | Gm7 | C7 | F7 | C7 |',
  ].join('\n'),
);

/** Two like choruses that differ from the first in two places. */
const MOVES: readonly TestPlacement[] = [2, 3].flatMap((chorus) =>
  [4, 11].map((bar): TestPlacement => ({ chorus, layer: 'band', bar, changes: [[4, 'Cm7']] })),
);

describe('the paper a chart is planned for', () => {
  it('has the room of its size, less of it for large print', () => {
    // ISO 216 and the size of US Letter: 297 mm are 18 mm more than 11 inches.
    expect(pageRoom({}).first - pageRoom({ paper: 'letter' }).first).toBeCloseTo(49.9, 1);
    for (const paper of ['a4', 'letter'] as const) {
      const [usual, large] = [pageRoom({ paper }), pageRoom({ paper, large: true })];
      expect(large.later).toBeLessThan(usual.later / 1.3);
      expect(large.width).toBeLessThan(usual.width / 1.3);
    }
  });

  it('decides how much is folded: large print folds what would cost a page', () => {
    const state = arrangementOf(TUNE, ['Head', 'Solo', 'Out'], MOVES);
    const blocks = (large: boolean): number =>
      partOf(TUNE, state, 'guitar', { large }).blocks.length;
    expect(blocks(false)).toBe(2);
    expect(blocks(true)).toBe(1);
  });
});
