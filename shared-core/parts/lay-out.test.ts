import { describe, expect, it } from 'vitest';
import { arrangementOf, partOf, tuneOf } from '../../tests/support/parts.ts';
import type { Direction } from '../arrangement/model.ts';
import { symbolOf } from '../chord/format.ts';
import type { Part } from './model.ts';
import { unrollPart } from './unroll.ts';

const BAR = 3840;

const KNOWN = tuneOf(
  [
    'title: Silence',
    'key: C major',
    'meter: 4/4',
    '',
    '[A]',
    '| C | F | G7 | C |',
    '[B]',
    '| Dm7 | G7 | C | C |',
    'melody: | whole D5 | whole F5 | whole E5 | whole C5 |',
  ].join('\n'),
);

/** Chorus 1 of three has the instruction. */
function chart(
  chair: string,
  from: number,
  count: number,
  options: Parameters<typeof partOf>[3] = {},
): Part {
  const direction: Omit<Direction, 'id' | 'chorus'> = {
    chair,
    start: from * BAR,
    length: count * BAR,
    words: 'lay out',
  };
  return partOf(
    KNOWN,
    arrangementOf(KNOWN, ['Solo', 'Solo', 'Solo'], [], [direction]),
    chair,
    options,
  );
}

/** Bars of rest in each chorus as the chart is followed. */
function restsOf(part: Part): readonly (readonly number[])[] {
  return [1, 2, 3].map((chorus) =>
    unrollPart(part).flatMap((played) => {
      const silent = played.measure.events.every(({ kind }) => kind === 'rest');
      return played.chorus === chorus && silent ? [played.bar + 1] : [];
    }),
  );
}

describe('a chair that lays out', () => {
  it.each(['guitar', 'bass', 'drums'])(
    'has rests there and in no other chorus, and is told where to come in (%s)',
    (chair) => {
      const part = chart(chair, 2, 2);
      expect(restsOf(part)).toEqual([[3, 4], [], []]);
      const said = unrollPart(part).flatMap(({ chorus, bar, measure }) =>
        measure.directions.map(({ words }) => `${chorus}.${bar + 1} ${words}`),
      );
      expect(said).toContain('1.3 lay out');
      expect(said).toContain('1.4 in at B');
      expect(said.filter((words) => words.includes('in at'))).toHaveLength(1);
    },
  );

  it('comes in at a bar where no section begins, and sees the changes it rests over', () => {
    const part = chart('guitar', 4, 2);
    const bars = unrollPart(part).filter(({ chorus }) => chorus === 1);
    expect(bars[5]?.measure.directions.map(({ words }) => words)).toEqual(['in at bar 7']);
    expect(bars[5]?.measure.band.map(({ harmony }) => symbolOf(harmony))).toEqual(['G7']);
  });

  it.each(['guitar', 'bass', 'drums', 'tenor'])(
    'counts a whole chorus through, with what is heard before it comes in (%s)',
    (chair) => {
      const part = chart(chair, 0, 8);
      expect(part.blocks.map(({ choruses, rests }) => [choruses, rests])).toEqual([
        [[1], true],
        [[2, 3], false],
      ]);
      expect(restsOf(part)).toEqual([[1, 2, 3, 4, 5, 6, 7, 8], [], []]);
      const cue = part.blocks[0]?.cue;
      expect(cue?.bars.flat().length).toBeGreaterThan(0);
      expect(cue?.measures).toEqual([]);
    },
  );

  it('shows the changes over the rests where everything is written out', () => {
    const part = chart('guitar', 0, 8, { layout: 'written-out' });
    expect(restsOf(part)[0]).toHaveLength(8);
    expect(part.blocks[0]?.rests).toBe(false);
    expect(part.blocks[0]?.measures[1]?.band.map(({ harmony }) => symbolOf(harmony))).toEqual([
      'F',
    ]);
  });
});
