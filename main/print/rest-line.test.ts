import { describe, expect, it } from 'vitest';
import { symbolOf } from '../../shared-core/chord/format.ts';
import { arrangementOf, partOf, tuneOf } from '../../tests/support/parts.ts';
import { layOut } from './layout.ts';
import { sheetOf } from './options.ts';
import { setRestLines } from './rest-line.ts';

const TUNE = tuneOf('title: T\nkey: C\nmeter: 4/4\n\n| Cmaj7 | Dm7 | G7 | Cmaj7 |');

describe('choruses of others on paper', () => {
  it('are one line each time, counted in bars, side by side where they fit', () => {
    const labels = [
      'Alto solo',
      'Trumpet solo',
      'Alto solo',
      'Tenor solo',
      'Alto solo',
      'Alto solo',
    ];
    const part = partOf(TUNE, arrangementOf(TUNE, labels), 'tenor');
    // What is heard before the entrance, in B flat; nothing where no entrance follows.
    expect(part.blocks.map(({ cue }) => cue?.words ?? null)).toEqual([
      null,
      null,
      'Alto solo ends',
      null,
      null,
    ]);
    expect(
      part.blocks[2]?.cue?.bars.map((bar) => bar.map(({ harmony }) => symbolOf(harmony))),
    ).toEqual([['A7'], ['Dmaj7']]);
    expect(part.blocks.map(({ rests, choruses }) => [rests, choruses])).toEqual([
      [true, [1]],
      [true, [2]],
      [true, [3]],
      [false, [4]],
      [true, [5, 6]],
    ]);
    const wide = setRestLines(part, [0, 1, 2], sheetOf({}), 0);
    expect(wide.map(({ marks }) => marks.map(({ label }) => label))).toEqual([
      ['Chorus 1 · Alto solo', 'Chorus 2 · Trumpet solo'],
      ['Chorus 3 · Alto solo'],
    ]);
    expect(setRestLines(part, [0, 1], sheetOf({ large: true }), 0)).toHaveLength(2);
  });

  it('make a chart of their own when a player has nothing else', async () => {
    const part = partOf(TUNE, arrangementOf(TUNE, ['Alto solo']), 'tenor');
    const { pages } = await layOut(part, {});
    expect(pages).toHaveLength(1);
    expect(JSON.stringify(pages[0]?.marks)).toContain('Chorus 1 · Alto solo');
  });
});
