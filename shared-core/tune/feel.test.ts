import { describe, expect, it } from 'vitest';
import { parseMeter } from '../time/meter.ts';
import { feelOf } from './feel.ts';

const meter = (text: string) => parseMeter(text) ?? { count: 4, unit: 4 };

describe('the feel that words and a meter name', () => {
  // Words of the trade on charts: common practice, no source.
  it.each([
    ['medium swing', '4/4', 'swing', 'swing', 'walk'],
    ['bright bounce', '4/4', 'swing', 'swing', 'walk'],
    [null, '4/4', 'swing', 'swing', 'walk'],
    ['shuffle blues', '4/4', 'shuffle', 'shuffle', 'walk'],
    ['Ballad', '4/4', 'ballad', 'swing', 'two-feel'],
    ['bossa nova', '4/4', 'bossa', 'straight', 'two-feel'],
    ['straight eighths', '4/4', 'straight', 'straight', 'two-feel'],
    ['medium swing', '3/4', 'waltz', 'swing', 'walk'],
    ['jazz waltz', '3/4', 'waltz', 'swing', 'walk'],
    [null, '3/4', 'waltz', 'swing', 'walk'],
    ['swing', '5/4', 'five', 'swing', 'walk'],
    ['swing', '7/4', 'swing', 'swing', 'walk'],
    ['waltz', '4/4', 'swing', 'swing', 'walk'],
    ['slow blues', '12/8', 'compound', 'straight', 'walk'],
    [null, '6/8', 'compound', 'straight', 'walk'],
  ])('%s in %s is %s, %s, and the bass plays %s', (words, text, name, division, bass) => {
    expect(feelOf(words, meter(text))).toEqual({ name, division, bass });
  });
});
