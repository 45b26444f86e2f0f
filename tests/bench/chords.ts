import { performance } from 'node:perf_hooks';
import { parseChord } from '../../shared-core/chord/parse.ts';
import { readWithChordSymbol, readWithTonal } from '../support/chord-libraries.ts';

/**
 * Speed of reading chord symbols beside two general-purpose libraries. Each reads the same symbols,
 * ones that all three understand, spelled as charts spell them. Nothing of ours is remembered from one
 * text to the next.
 */

/** One figure with what it should at least be. */
export interface Figure {
  readonly name: string;
  readonly figure: number;
  readonly unit: string;
  readonly goal: number;
}

/** Symbols all three readers know. */
export const SYMBOLS: readonly string[] = ['C', 'Bb', 'F#'].flatMap((root) =>
  [
    '',
    'm',
    '7',
    'm7',
    'maj7',
    'm7b5',
    'dim7',
    '7b9',
    '6',
    'm6',
    '9',
    'm9',
    '13',
    '7sus4',
    'maj9',
    '7#9',
  ].map((suffix) => root + suffix),
);

/** Reads per second: the best of several rounds, after warming up. */
export function readsPerSecond(read: (text: string) => unknown, rounds = 5): number {
  let best = 0;
  for (let round = 0; round <= rounds; round += 1) {
    const start = performance.now();
    let count = 0;
    while (performance.now() - start < 200) {
      for (const symbol of SYMBOLS) read(symbol);
      count += SYMBOLS.length;
    }
    const rate = (count * 1000) / (performance.now() - start);
    if (round > 0 && rate > best) best = rate;
  }
  return best;
}

/**
 * Measures reads per second, ours and theirs, and how many times faster ours is. Goals: a million a
 * second, four times tonal, forty times chord-symbol.
 */
export function benchChords(): readonly Figure[] {
  const ours = readsPerSecond(parseChord);
  const tonal = readsPerSecond(readWithTonal);
  const chordSymbol = readsPerSecond(readWithChordSymbol);
  return [
    { name: 'chord symbols read', figure: Math.round(ours), unit: '/s', goal: 1_000_000 },
    { name: 'against tonal Chord.get', figure: ours / tonal, unit: 'times', goal: 4 },
    { name: 'against chord-symbol', figure: ours / chordSymbol, unit: 'times', goal: 40 },
  ];
}
