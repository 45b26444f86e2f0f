import type { Chord } from '../chord/model.ts';
import { chromaOf, type Spelled } from '../pitch/spelled.ts';
import type { TimedHarmony } from '../tune/model.ts';

/**
 * One name for one root where two proposals meet: Db7 before a bar that now begins on C#7 becomes C#7, and
 * the two before it (Abm7, G#m7) goes with it. A proposal is spelled for the page; that another one follows
 * it in some chorus is known only here. Common practice, no source.
 *
 * @param isProposed whether the engine chose the name: what stands on the page or was typed keeps its own
 */
export function joinNames(
  line: readonly TimedHarmony[],
  isProposed: (event: TimedHarmony) => boolean,
): readonly TimedHarmony[] {
  let joined: TimedHarmony[] | null = null;
  for (let index = line.length - 2; index >= 0; index--) {
    const now: readonly TimedHarmony[] = joined ?? line;
    const fifths = between(now[index], now[index + 1]);
    if (fifths === 0) continue;
    joined ??= [...line];
    renameBack(joined, index, fifths, isProposed);
  }
  return joined ?? line;
}

/** Fifths from the name of a root to the one its neighbour has for the same sound; 0 where they agree. */
function between(before: TimedHarmony | undefined, after: TimedHarmony | undefined): number {
  if (before?.harmony.kind !== 'chord' || after?.harmony.kind !== 'chord') return 0;
  const [from, to] = [before.harmony.root, after.harmony.root];
  return chromaOf(from) === chromaOf(to) ? to - from : 0;
}

/** Renames a chord, and the proposed chords before it that lead to it by written fifths. */
function renameBack(
  line: TimedHarmony[],
  last: number,
  fifths: number,
  isProposed: (event: TimedHarmony) => boolean,
): void {
  let next: Spelled | null = null;
  for (let index = last; index >= 0; index--) {
    const event = line[index];
    if (event?.harmony.kind !== 'chord' || !isProposed(event)) return;
    const { harmony } = event;
    if (next !== null && harmony.root - next !== 1) return;
    next = harmony.root;
    line[index] = { ...event, harmony: renamed(harmony, fifths) };
  }
}

function renamed(chord: Chord, fifths: number): Chord {
  const { root, bass } = chord;
  return { ...chord, root: root + fifths, bass: bass === null ? null : bass + fifths };
}
