import { createRequire } from 'node:module';
import { Note, Chord as TonalChord } from 'tonal';

/**
 * Two general-purpose libraries, asked for the pitch classes of a chord symbol: a second opinion that
 * nobody here wrote. chord-symbol's package entry points to files it does not ship for Node, so its
 * bundle is loaded by path.
 */

/** The part of chord-symbol's answer that is used here. */
interface ChordSymbolAnswer {
  readonly error?: unknown;
  readonly normalized?: { readonly notes: readonly string[] };
}

const require = createRequire(import.meta.url);
const library: {
  chordParserFactory(): (text: string) => ChordSymbolAnswer;
} = require('chord-symbol/lib/chord-symbol.js');
const parse = library.chordParserFactory();

/** Reads a symbol with chord-symbol 4.0.0; its own answer. */
export function readWithChordSymbol(text: string): ChordSymbolAnswer {
  return parse(text);
}

/** Reads a symbol with tonal 6.4.3; its own answer. */
export function readWithTonal(text: string): ReturnType<typeof TonalChord.get> {
  return TonalChord.get(text);
}

function sortedChroma(notes: readonly string[]): number[] {
  return [...new Set(notes.map((note) => Note.chroma(note)))].sort((a, b) => a - b);
}

/** Pitch classes as chord-symbol reads the symbol, C = 0; null when it does not. */
export function chordSymbolPitchClasses(text: string): number[] | null {
  const answer = parse(text);
  if (answer.error || !answer.normalized) return null;
  return sortedChroma(answer.normalized.notes);
}

/** Pitch classes as tonal reads the symbol, C = 0; null when it does not. */
export function tonalPitchClasses(text: string): number[] | null {
  const answer = TonalChord.get(text);
  return answer.empty ? null : sortedChroma(answer.notes);
}
