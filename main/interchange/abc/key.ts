import type { Key } from '../../../shared-core/pitch/key.ts';
import { parseSpelled, type Spelled } from '../../../shared-core/pitch/spelled.ts';

/** Modes by their first three letters: fifths from the tonic to the signature's major key, and the nearer mode of a chart. */
const MODES: Readonly<Record<string, readonly [number, Key['mode']]>> = {
  '': [0, 'major'],
  maj: [0, 'major'],
  ion: [0, 'major'],
  m: [-3, 'minor'],
  min: [-3, 'minor'],
  aeo: [-3, 'minor'],
  mix: [-1, 'major'],
  dor: [-2, 'minor'],
  phr: [-4, 'minor'],
  lyd: [1, 'major'],
  loc: [-5, 'minor'],
};

/** A `K:` field: the key a chart would give, and the signature that the notes go by. */
export interface AbcKey {
  readonly key: Key | null;
  /** Sharps positive, flats negative. */
  readonly signature: number;
}

/**
 * Reads the value of `K:` (ABC 2.1, 3.1.14): tonic, mode by its first three letters; clef and the like
 * after it are passed over. `none` and bagpipe keys have no tonic. Null when it is no key.
 */
export function readAbcKey(value: string): AbcKey | null {
  const text = value.trim();
  if (text === '' || /^none\b/iu.test(text)) return { key: null, signature: 0 };
  if (/^H[Pp]/u.test(text)) return { key: null, signature: text.startsWith('Hp') ? 2 : 0 };
  const match = /^([A-G])([b#♭♯]?)\s*([A-Za-z]*)/u.exec(text);
  if (!match) return /^[a-z-]+=/u.test(text) ? { key: null, signature: 0 } : null;
  const tonic = parseSpelled(`${match[1]}${match[2]}`) as Spelled;
  const word = (match[3] ?? '').toLowerCase();
  const mode =
    MODES[word.slice(0, 3)] ?? (/^(cle|tre|bas|alt|exp)/u.test(word) ? MODES[''] : undefined);
  if (!mode) return null;
  return { key: { tonic, mode: mode[1] }, signature: tonic + mode[0] };
}
