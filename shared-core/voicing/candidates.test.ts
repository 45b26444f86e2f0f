import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseChord } from '../chord/parse.ts';
import { midiOf } from '../pitch/spelled.ts';
import { guitarShapes } from './guitar.ts';
import type { Voicing } from './model.ts';
import { voicePath } from './path.ts';
import { pianoVoicings } from './piano.ts';

const SYMBOLS = [
  'Dm7',
  'G7',
  'Cmaj7',
  'A7b9',
  'F#m7b5',
  'Bdim7',
  'Eb13',
  'Ab6/9',
  'C7sus4',
  'E7alt',
];

function chordOf(text: string) {
  const read = parseChord(text);
  if (!read.ok || read.value.kind !== 'chord') throw new Error(`${text} is no chord`);
  return read.value;
}

const topOf = (voicing: Voicing | null | undefined): number => {
  const last = voicing?.pitches.at(-1);
  if (!last) throw new Error('a chord has no voicing');
  return midiOf(last);
};

/** Every top note a player of the instrument has for a chord. */
const topsOf = (symbol: string, instrument: 'guitar' | 'piano'): number[] => {
  const chord = chordOf(symbol);
  const all =
    instrument === 'piano' ? pianoVoicings(chord, { withBass: true }) : guitarShapes(chord);
  return all.map(topOf);
};

const run = fc.array(
  fc.record({
    symbol: fc.constantFrom(...SYMBOLS),
    note: fc.option(fc.integer({ min: 55, max: 84 })),
  }),
  { minLength: 1, maxLength: 8 },
);

describe('what is asked of the top of a voicing', () => {
  it('is kept wherever the instrument has such a voicing: the melody on top', () => {
    fc.assert(
      fc.property(run, fc.constantFrom('guitar', 'piano'), (places, instrument) => {
        const chords = places.map(({ symbol }) => chordOf(symbol));
        const topLine = places.map(({ note }) => note);
        const path = voicePath(chords, { instrument, withBass: true, topLine });
        places.forEach(({ symbol, note }, at) => {
          if (note !== null && topsOf(symbol, instrument).includes(note))
            expect(topOf(path[at])).toBe(note);
        });
      }),
      { numRuns: 60 },
    );
  });

  it('is kept wherever the instrument has such a voicing: room under the melody', () => {
    fc.assert(
      fc.property(run, fc.constantFrom('guitar', 'piano'), (places, instrument) => {
        const chords = places.map(({ symbol }) => chordOf(symbol));
        const below = places.map(({ note }) => note);
        const path = voicePath(chords, { instrument, withBass: true, below });
        places.forEach(({ symbol, note }, at) => {
          if (note !== null && topsOf(symbol, instrument).some((top) => top < note))
            expect(topOf(path[at])).toBeLessThan(note);
        });
      }),
      { numRuns: 60 },
    );
  });

  it('goes before the kinds that are liked, where those have no such voicing', () => {
    const chord = chordOf('Dm7');
    const kinds = ['drop 3'];
    const free = voicePath([chord], { instrument: 'guitar', withBass: true, kinds });
    expect(free[0]?.kind).toBe('drop 3');
    const lowest = Math.min(...topsOf('Dm7', 'guitar'));
    const options = { instrument: 'guitar', withBass: true, kinds, below: [lowest + 1] } as const;
    expect(topOf(voicePath([chord], options)[0])).toBe(lowest);
  });
});
