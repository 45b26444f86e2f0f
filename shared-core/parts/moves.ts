import type { Realisation } from '../arrangement/model.ts';
import type { Chorus } from '../tune/model.ts';
import { sameSound, stretchOf } from './timeline.ts';

/**
 * Where the whole band leaves the written changes, for a chair that sees no chords: by the bar (its place in
 * the chorus) at which it begins, `band moves, bars 31–32`.
 *
 * @param order of the chorus, 0-based
 */
export function bandMoves(
  chorus: Chorus,
  { band, chorusLength }: Realisation,
  order: number,
): ReadonlyMap<number, string> {
  const from = order * chorusLength;
  const moved = chorus.bars.map(
    ({ start, length }) =>
      !sameSound(stretchOf(band, from + start, length), stretchOf(chorus.harmony, start, length)),
  );
  const words = new Map<number, string>();
  chorus.bars.forEach(({ number }, at) => {
    if (!moved[at] || moved[at - 1]) return;
    const back = moved.indexOf(false, at);
    const last = chorus.bars[(back < 0 ? moved.length : back) - 1]?.number ?? number;
    words.set(at, `band moves, ${last > number ? `bars ${number}–${last}` : `bar ${number}`}`);
  });
  return words;
}
