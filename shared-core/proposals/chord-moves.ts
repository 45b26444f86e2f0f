import type { Chord } from '../chord/model.ts';
import type { Change, Site } from '../devices/model.ts';

/** A change of chord that a player makes. */
export interface ChordMove {
  readonly from: Chord;
  readonly to: Chord;
}

/**
 * The chord changes through a rewrite: from its first chord, through every change, into the chord after the
 * span. Neighbours of one root and quality are no change.
 */
export function chordMoves(site: Site, changes: readonly Change[]): readonly ChordMove[] {
  const moves: ChordMove[] = [];
  let from: Chord | null = null;
  for (let index = 0; index <= changes.length; index++) {
    const to = index < changes.length ? changes[index]?.harmony : site.next;
    if (to?.kind !== 'chord') continue;
    if (from !== null && !(from.root === to.root && from.quality === to.quality))
      moves.push({ from, to });
    from = to;
  }
  return moves;
}
