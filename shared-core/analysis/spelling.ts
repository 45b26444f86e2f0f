import type { Key, Mode } from '../pitch/key.ts';
import { signatureOf } from '../pitch/key.ts';
import { modulo, type Spelled } from '../pitch/spelled.ts';
import type { Chorus } from '../tune/model.ts';
import type { Runs } from './runs.ts';

/** Sharps or flats past which no key is written. */
const MOST_ACCIDENTALS = 7;

/** Roots of the chords of a key lie around this place on the line of fifths, counted from its tonic. */
const CENTRE: Readonly<Record<Mode, number>> = { major: 1.5, minor: -1.5 };

/**
 * Spells a key the way the chart around it is spelled: of the tonics with this sound whose signature
 * has at most seven accidentals, the one nearest to the written roots; where they do not decide, the
 * one nearest to the signature of the tune.
 *
 * @param number key number, see `evidence.ts`
 * @param roots spelled roots of the chords in this key
 * @param signature sharps (positive) or flats of the tune; 0 when it is this key that is being found
 */
export function spellKey(number: number, roots: readonly Spelled[], signature: number): Key {
  const mode: Mode = number % 2 === 1 ? 'minor' : 'major';
  const chroma = number >> 1;
  let best: Key = { tonic: modulo(chroma * 7 + 5, 12) - 5, mode };
  let bestCost = Number.POSITIVE_INFINITY;
  for (let tonic = modulo(chroma * 7, 12) - 12; tonic <= 12; tonic += 12) {
    const key: Key = { tonic, mode };
    if (Math.abs(signatureOf(key)) > MOST_ACCIDENTALS) continue;
    const cost = distance(key, roots) + Math.abs(signatureOf(key) - signature) / 100;
    if (cost < bestCost) {
      best = key;
      bestCost = cost;
    }
  }
  return best;
}

function distance(key: Key, roots: readonly Spelled[]): number {
  const centre = key.tonic + CENTRE[key.mode];
  let sum = 0;
  for (const root of roots) sum += Math.abs(root - centre);
  return roots.length === 0 ? 0 : sum / roots.length;
}

/** Spelled roots of the written chords `from` to before `to`. */
function writtenRoots(chorus: Chorus, from: number, to: number): Spelled[] {
  const roots: Spelled[] = [];
  for (let index = from; index < to; index += 1) {
    const harmony = chorus.harmony[index]?.harmony;
    if (harmony?.kind === 'chord') roots.push(harmony.root);
  }
  return roots;
}

/** The tune's key, spelled as its chords are. */
export function spellTuneKey(number: number, chorus: Chorus): Key {
  return spellKey(number, writtenRoots(chorus, 0, chorus.harmony.length), 0);
}

/**
 * Spells the key of every run. Each stretch of one key is spelled as a whole, and the tune's own key
 * always as the tune has it.
 */
export function spellPath(
  path: Uint8Array,
  runs: Runs,
  chorus: Chorus,
  tune: Key,
  home: number,
): Key[] {
  const keys: Key[] = [];
  let start = 0;
  while (start < path.length) {
    let end = start + 1;
    while (end < path.length && path[end] === path[start]) end += 1;
    const number = path[start] ?? home;
    const roots = writtenRoots(chorus, runs.first[start] ?? 0, runs.first[end] ?? 0);
    const key = number === home ? tune : spellKey(number, roots, signatureOf(tune));
    for (let run = start; run < end; run += 1) keys.push(key);
    start = end;
  }
  return keys;
}
