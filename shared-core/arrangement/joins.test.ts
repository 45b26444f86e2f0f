import { describe, expect, it } from 'vitest';
import { chordOf } from '../../tests/support/chord.ts';
import { symbolOf } from '../chord/format.ts';
import type { TimedHarmony } from '../tune/model.ts';
import { joinNames } from './joins.ts';

const line = (symbols: string): TimedHarmony[] =>
  symbols.split(' ').map((symbol, at) => ({ start: at, length: 1, harmony: chordOf(symbol) }));

/** The line after joining; chords from the `from`th on were proposed. */
function joined(symbols: string, from = 0): string {
  return joinNames(line(symbols), ({ start }) => start >= from)
    .map(({ harmony }) => symbolOf(harmony))
    .join(' ');
}

describe('one root side by side', () => {
  // Common practice, no source.
  it.each([
    ['Cmaj7 Db7#11 C#7 F#7', 'Cmaj7 C#7#11 C#7 F#7'],
    ['Cmaj7 Abm7 Db7 C#7 F#7', 'Cmaj7 G#m7 C#7 C#7 F#7'],
    ['Cmaj7 Db7 C7 F7', 'Cmaj7 Db7 C7 F7'],
    ['Gb6/Bb F#7', 'F#6/A# F#7'],
  ])('%s is read as %s', (symbols, expected) => {
    expect(joined(symbols)).toBe(expected);
  });

  it('keeps the names that stand on the page', () => {
    expect(joined('Db7 C#7', 1)).toBe('Db7 C#7');
    expect(joined('Abm7 Db7 C#7', 1)).toBe('Abm7 C#7 C#7');
  });

  it('is the line itself where nothing is to be done', () => {
    const same = line('Dm7 G7 Cmaj7');
    expect(joinNames(same, () => true)).toBe(same);
  });
});
