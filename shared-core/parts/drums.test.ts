import { describe, expect, it } from 'vitest';
import { arrangementOf, partOf, type TestPlacement, tuneOf } from '../../tests/support/parts.ts';
import type { Direction } from '../arrangement/model.ts';
import type { Part } from './model.ts';
import { unrollPart } from './unroll.ts';

const BAR = 3840;

/** F7 comes in on the last half beat of bar 3 and goes on; the G7 of bar 6 is off the beat and does not. */
const TUNE = tuneOf(
  [
    'title: Kicks',
    'key: F major',
    'meter: 4/4',
    '',
    '[A]',
    '| Fmaj7 | Gm7 | C7 F7@4+1/2 | F7 |',
    '[B]',
    '| Bbmaj7 | Gm7 G7@2+1/2 | C7 | Fmaj7 |',
  ].join('\n'),
);

/** Chorus 2 has other changes in bars 7 and 8, chorus 3 in bar 5. */
const MOVES: readonly TestPlacement[] = [
  {
    chorus: 2,
    layer: 'band',
    bar: 7,
    changes: [
      [4, 'Gb7'],
      [4, 'F6'],
    ],
  },
  { chorus: 3, layer: 'band', bar: 5, changes: [[4, 'Bbm6']] },
  { chorus: 3, layer: 'soloist', bar: 2, changes: [[4, 'Db7']] },
];

function drums(directions: readonly Omit<Direction, 'id' | 'chorus'>[] = []): Part {
  return partOf(TUNE, arrangementOf(TUNE, ['Head', 'Solo', 'Solo'], MOVES, directions), 'drums');
}

function words(part: Part, chorus: number): readonly string[] {
  return unrollPart(part)
    .filter((bar) => bar.chorus === chorus)
    .flatMap(({ bar, measure }) =>
      measure.directions.map((said) => `${bar + 1}.${said.at / 960}: ${said.words}`),
    );
}

describe('a drummer’s chart', () => {
  it('has hits where the band brings a chord in early or off the beat, and time elsewhere', () => {
    const bars = unrollPart(drums()).filter(({ chorus }) => chorus === 1);
    const heads = bars.map(({ measure: { events } }) =>
      events.flatMap(({ kind, at }) => (kind === 'hit' ? [at / 960] : [])),
    );
    expect(heads).toEqual([[], [], [3.5], [], [], [1.5], [], []]);
  });

  it('says what the band does: hits, and where its changes move in which chorus', () => {
    expect(words(drums(), 1)).toEqual(['3.3.5: hit with band', '6.1.5: hit with band']);
    expect(words(drums(), 2)).toEqual([
      '3.3.5: hit with band',
      '6.1.5: hit with band',
      '7.0: band moves, bars 7–8',
    ]);
    expect(words(drums(), 3)).toEqual([
      '3.3.5: hit with band',
      '5.0: band moves, bar 5',
      '6.1.5: hit with band',
    ]);
  });

  it('prints choruses once that are the same to the kit, and names the chorus of what is not', () => {
    const part = drums();
    expect(part.blocks.map(({ choruses, measures }) => [choruses, measures.length])).toEqual([
      [[1, 2, 3], 8],
    ]);
    const moves = part.blocks[0]?.measures[6]?.directions;
    expect(moves).toEqual([{ at: 0, words: 'band moves, bars 7–8', choruses: [2] }]);
  });

  it('says how the bass goes', () => {
    const part = drums([
      { chair: 'bass', start: 4 * BAR, length: 4 * BAR, words: 'two-feel' },
      { chair: 'guitar', start: 0, length: BAR, words: 'two-feel' },
    ]);
    expect(words(part, 1)).toContain('5.0: bass in two');
    expect(words(part, 1).filter((said) => said.includes('bass'))).toHaveLength(1);
  });

  it('takes a chord that is said again after the bar line for one that came early, a new one not', () => {
    const early = tuneOf('title: T\nkey: C\nmeter: 4/4\n\n[A]\n| C / / F | F | C / / F | G7 |');
    const part = partOf(early, arrangementOf(early, ['Solo']), 'drums');
    const heads = part.blocks[0]?.measures.map(({ events }) => events.map(({ kind }) => kind));
    expect(heads?.map((kinds) => kinds.includes('hit'))).toEqual([true, false, false, false]);
  });
});
