import { describe, expect, it } from 'vitest';
import { NO_CHORD } from '../chord/build.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { parseChord } from '../chord/parse.ts';
import { guideTones } from '../chord/tones.ts';
import { midiOf, nameOf } from '../pitch/spelled.ts';
import type { TimedHarmony } from '../tune/model.ts';
import { guideLine } from './guide.ts';

const BAR = 3840;
const COMPASS = { low: 55, high: 79 };

function harmonyOf(text: string): Harmony {
  if (text === 'N.C.') return NO_CHORD;
  const read = parseChord(text);
  if (!read.ok) throw new Error(`${text} is no chord`);
  return read.value;
}

const barsOf = (...symbols: string[]): TimedHarmony[] =>
  symbols.map((symbol, bar) => ({
    start: bar * BAR,
    length: BAR,
    harmony: harmonyOf(symbol),
  }));

describe('a guide-tone line', () => {
  it('has one third or seventh for every chord, spelled as the chord spells it', () => {
    const bars = barsOf('Ebm7', 'Ab7', 'Dbmaj7', 'Gb7', 'F#m7b5', 'B7b9', 'Em6');
    const line = guideLine(bars, COMPASS);
    expect(line.map(({ start, length }) => [start, length])).toEqual(
      bars.map(({ start, length }) => [start, length]),
    );
    line.forEach(({ pitch }, index) => {
      expect(guideTones(bars[index]?.harmony as Chord)).toContain(pitch.pc);
    });
  });

  it('moves by a tone or less through a chain of fives', () => {
    const line = guideLine(barsOf('E7', 'A7', 'D7', 'G7', 'C7', 'F7', 'Bb7', 'Eb7'), COMPASS);
    line.slice(1).forEach(({ pitch }, index) => {
      const before = line[index];
      expect(Math.abs(midiOf(pitch) - midiOf(before?.pitch ?? pitch))).toBeLessThanOrEqual(2);
    });
  });

  it('stays inside its compass', () => {
    for (const low of [40, 52, 61]) {
      const line = guideLine(barsOf('Cm7', 'F#7', 'Bmaj7', 'Dm7', 'G7', 'Abmaj7'), {
        low,
        high: low + 12,
      });
      for (const { pitch } of line) {
        expect(midiOf(pitch)).toBeGreaterThanOrEqual(low);
        expect(midiOf(pitch)).toBeLessThanOrEqual(low + 12);
      }
    }
  });

  it('rests where the chart says N.C.', () => {
    const line = guideLine(barsOf('Dm7', 'N.C.', 'G7'), COMPASS);
    expect(line.map(({ start }) => start)).toEqual([0, 2 * BAR]);
  });

  it('keeps its note when a chord is written again', () => {
    const names = guideLine(barsOf('Dm7', 'Dm7', 'Dm7'), COMPASS).map(({ pitch }) =>
      nameOf(pitch.pc),
    );
    expect(new Set(names).size).toBe(1);
  });

  it('refuses a compass under an octave, where some guide tone would have no place', () => {
    expect(() => guideLine(barsOf('C'), { low: 60, high: 71 })).toThrow(RangeError);
  });
});
