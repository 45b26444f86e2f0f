import type { Harmony } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import { resolves } from '../devices/home.ts';
import { lastStartingBy } from '../time/halving.ts';
import type { TimedHarmony } from '../tune/model.ts';
import type { Placement } from './model.ts';

/** What stands in a chorus of a plan: what a leader decided has no score, for it does not give way. */
export interface Placed {
  readonly placement: Placement;
  readonly score: number | null;
}

/**
 * Which placements of one chorus should give way: one leads into the chord written after it, and the next
 * takes just that chord away. Of two the one worth less goes, never what a leader decided. Two that fit all
 * the same stay: the last chord of the first resolves into the first of the second, or the band leads into
 * what it does play while only the soloist leaves. Common practice, no source.
 *
 * @param standing what stands in the chorus, in any order
 * @param written the harmony of the chorus as written
 */
export function crossings(standing: readonly Placed[], written: readonly TimedHarmony[]): Placed[] {
  const byStart = new Map(standing.map((one) => [one.placement.start, one]));
  return standing.flatMap((before) => {
    const { start, length } = before.placement;
    const after = byStart.get(start + length);
    if (after === undefined || !cross(before.placement, after.placement, written)) return [];
    return givesWay(before, after);
  });
}

function cross(before: Placement, after: Placement, written: readonly TimedHarmony[]): boolean {
  if (before.layer === 'band' && after.layer === 'soloist') return false;
  const last = before.changes.at(-1)?.harmony;
  const first = after.changes[0]?.harmony;
  if (last === undefined || first === undefined) return false;
  const leads = !sameChord(last, writtenAt(written, after.start - 1) ?? last);
  const taken = !sameChord(first, writtenAt(written, after.start) ?? first);
  return leads && taken && !goesOn(last, first);
}

/** Whether one chord goes into the other as it would into the one it was meant for. */
function goesOn(from: Harmony, to: Harmony): boolean {
  return from.kind === 'chord' && to.kind === 'chord' && resolves(from, to);
}

function writtenAt(written: readonly TimedHarmony[], at: number): Harmony | undefined {
  return written[lastStartingBy(written, at)]?.harmony;
}

function givesWay(before: Placed, after: Placed): Placed[] {
  if (before.score === null) return after.score === null ? [] : [after];
  if (after.score === null) return [before];
  return before.score < after.score ? [before] : [after];
}
