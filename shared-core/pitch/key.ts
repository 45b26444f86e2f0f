import { nameOf, parseSpelled, type Spelled } from './spelled.ts';

/** Mode of a key as a chart names it. */
export type Mode = 'major' | 'minor';

/** A key: spelled tonic and mode. */
export interface Key {
  readonly tonic: Spelled;
  readonly mode: Mode;
}

/**
 * Key signature: sharps positive, flats negative. C major 0, Eb major -3, C minor -3.
 * Any spelled key has one; conventional ones lie between -7 and 7.
 */
export function signatureOf(key: Key): number {
  return key.mode === 'major' ? key.tonic : key.tonic - 3;
}

/** Name as people say it: `Bb major`. */
export function keyName(key: Key): string {
  return `${nameOf(key.tonic)} ${key.mode}`;
}

/** Reads `Bb major`, `F# minor`, `Bb`, `Bbm`, `F♯ min`; null when it is not a key. */
export function parseKey(text: string): Key | null {
  const match = /^\s*([A-G](?:[b#♭♯]{0,2}))\s*(major|maj|minor|min|m)?\s*$/iu.exec(text);
  if (!match) return null;
  const name = match[1] ?? '';
  const tonic = parseSpelled(name.charAt(0).toUpperCase() + name.slice(1).toLowerCase());
  if (tonic === null) return null;
  const word = match[2] ?? '';
  const minor = word === 'm' || /^min/iu.test(word);
  return { tonic, mode: minor ? 'minor' : 'major' };
}

/** Same tonic spelling and mode. */
export function sameKey(a: Key, b: Key): boolean {
  return a.tonic === b.tonic && a.mode === b.mode;
}
