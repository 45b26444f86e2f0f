import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { harmonyOf } from '../engine/wire.ts';
import { ChordSymbol, symbolWidth } from './ChordSymbol.tsx';
import { type ChordView, ChordViewContext, CONCERT } from './chord-view.ts';

function printed(symbol: string, view: ChordView = CONCERT): string {
  return renderToStaticMarkup(
    <ChordViewContext value={view}>
      <ChordSymbol harmony={harmonyOf(symbol)} size={20} />
    </ChordViewContext>,
  );
}

const words = (symbol: string, view?: ChordView) => printed(symbol, view).replace(/<[^>]*>/gu, '');

describe('a printed chord symbol', () => {
  // Common practice of lead-sheet print, no source.
  it.each([
    ['Bbmaj7', 'B♭maj7'],
    ['F#m7b5', 'F♯m7(♭5)'],
    ['G7b9#11', 'G7(♭9 ♯11)'],
    ['Cm7/F', 'Cm7/F'],
    ['Ab7/Gb', 'A♭7/G♭'],
    ['Dbb7', 'D♭♭7'],
    ['N.C.', 'N.C.'],
  ])('%s reads %s', (symbol, text) => {
    expect(words(symbol)).toBe(text);
  });

  it('keeps the natural order: the bass after the bracket', () => {
    expect(words('G7b9/B')).toBe('G7(♭9)/B');
  });

  it('takes its signs from the music font in the other habit', () => {
    const signs = { ...CONCERT, style: 'signs' as const };
    expect(words('Bbmaj7', signs)).toBe('B♭\uE8737');
    expect(words('F#m7b5', signs)).toBe('F♯\uE8717');
    expect(words('Cdim7', signs)).toBe('C\uE8707');
    expect(printed('Bbmaj7', signs)).toContain('chord-sign');
  });

  it('shows what a chair reads', () => {
    const upTwo: ChordView = { ...CONCERT, read: () => harmonyOf('C7') };
    expect(words('Bb7', upTwo)).toBe('C7');
    expect(words('Bb7')).toBe('B♭7');
  });

  it('is never narrower than its letters', () => {
    for (const symbol of ['C', 'Bbmaj7', 'F#m7b5', 'G7b9#11', 'Abmaj7#11/Eb']) {
      const letters = words(symbol).length;
      expect(symbolWidth(harmonyOf(symbol), CONCERT, 20)).toBeGreaterThan(letters * 20 * 0.27);
    }
  });
});
