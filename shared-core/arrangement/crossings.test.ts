import { describe, expect, it } from 'vitest';
import { changesOf, chordNamed, meterNamed } from '../../tests/support/site.ts';
import { crossings, type Placed } from './crossings.ts';
import type { Layer } from './model.ts';

const BAR = 3840;
const FOUR = meterNamed('4/4');

/** `| Dm7 | Dm7 | G7 | G7 |`, each chord held for two bars. */
const WRITTEN = ['Dm7', 'G7'].map((symbol, index) => ({
  start: index * 2 * BAR,
  length: 2 * BAR,
  harmony: chordNamed(symbol),
}));

function over(bar: number, bars: string, score: number | null, layer: Layer = 'band'): Placed {
  const changes = changesOf(bars, FOUR);
  const last = changes.at(-1);
  return {
    score,
    placement: {
      id: bars,
      chorus: 'c',
      layer,
      start: bar * BAR,
      length: last ? last.at + last.length : 0,
      changes,
      origin: { kind: 'hand' },
    },
  };
}

const names = (standing: readonly Placed[]) =>
  crossings(standing, WRITTEN).map(({ placement }) => placement.id);

// A chord led into has to come. Common practice, no source.
describe('placements next to each other', () => {
  const lead = '| Dm7 | Ab7 |';

  it('cross where one leads into the chord that the next takes away; the lesser gives way', () => {
    const away = '| Fm7 Bb7 | G7 |';
    expect(names([over(0, lead, 0.8), over(2, away, 0.7)])).toEqual([away]);
    expect(names([over(0, lead, 0.6), over(2, away, 0.7)])).toEqual([lead]);
  });

  it('stay where the chord led into comes, or where nothing leads into it', () => {
    expect(names([over(0, lead, 0.8), over(2, '| G7 | Dm7 G7 |', 0.7)])).toEqual([]);
    expect(names([over(0, '| Em7 | Dm7 |', 0.8), over(2, '| Fm7 Bb7 | G7 |', 0.7)])).toEqual([]);
  });

  it('stay where the last chord resolves into the new one as well', () => {
    expect(names([over(0, '| Dm7 | A7 |', 0.8), over(2, '| Dm7 | G7 |', 0.7)])).toEqual([]);
  });

  it('leave what was decided, whatever it is worth', () => {
    const away = '| Fm7 Bb7 | G7 |';
    expect(names([over(0, lead, 0.9), over(2, away, null)])).toEqual([lead]);
    expect(names([over(0, lead, null), over(2, away, null)])).toEqual([]);
  });

  it('stay where the band leads into what it plays and only the soloist leaves it', () => {
    const away = '| Fm7 Bb7 | G7 |';
    expect(names([over(0, lead, 0.8), over(2, away, 0.7, 'soloist')])).toEqual([]);
    expect(names([over(0, lead, 0.8, 'soloist'), over(2, away, 0.7)])).toEqual([away]);
  });
});
