import type { Chord, Harmony } from '../../shared-core/chord/model.ts';
import { parseChord } from '../../shared-core/chord/parse.ts';
import { notesOf } from '../../shared-core/chord/tones.ts';
import { type Key, parseKey } from '../../shared-core/pitch/key.ts';
import { chromaOf, nameOf } from '../../shared-core/pitch/spelled.ts';

/** Reads a harmony a test writes; throws when it is none. */
export function harmonyOf(text: string): Harmony {
  const read = parseChord(text);
  if (!read.ok) throw new Error(`${text} is no chord: ${read.error.code} at ${read.error.offset}`);
  return read.value;
}

/** Reads a chord a test writes; throws on N.C. and on nonsense. */
export function chordOf(text: string): Chord {
  const harmony = harmonyOf(text);
  if (harmony.kind === 'none') throw new Error(`${text} is no chord`);
  return harmony;
}

/** Reads a key a test writes. */
export function keyOf(text: string): Key {
  const key = parseKey(text);
  if (key === null) throw new Error(`${text} is no key`);
  return key;
}

/** Names of the notes of a symbol: `notesIn('C7#9')` is `'C E G Bb D#'`. */
export function notesIn(text: string): string {
  return notesOf(harmonyOf(text)).map(nameOf).join(' ');
}

/** Sorted pitch classes of a harmony, C = 0. */
export function pitchClasses(harmony: Harmony): number[] {
  return [...new Set(notesOf(harmony).map(chromaOf))].sort((a, b) => a - b);
}
