import type { Placement, Realisation } from '../arrangement/model.ts';
import { symbolOf } from '../chord/format.ts';
import type { Ticks } from '../time/meter.ts';
import type { BarPlace } from './content.ts';
import type { PartCue, PartHarmony } from './model.ts';
import { soundingIn } from './timeline.ts';

/** Words of a cue for the judge's verdict on a rewrite. A rewrite typed by hand has no verdict. */
function wordsOf(placement: Placement): NonNullable<PartCue['words']> {
  if (placement.origin.kind === 'hand') return 'over the top';
  const words = {
    'fine over the top': 'over the top',
    'tell the rhythm section': 'tell',
    'the band must follow': 'follow',
  } as const;
  return words[placement.origin.verdict];
}

/** Whether the band plays this very chord at the moment it begins. */
function playedByBand(place: BarPlace, { at, harmony }: PartHarmony): boolean {
  const held = soundingIn(place.band).findLast((chord) => chord.at <= at);
  return held !== undefined && symbolOf(held.harmony) === symbolOf(harmony);
}

/**
 * The cues of one bar for a chair of the rhythm section: what the soloist may play over it while the
 * changes stay. Words stand where the soloist's changes begin; in the bars after, only the chords.
 *
 * @param warningsOnly leave out what needs no one's attention (a bass need not know what is fine over the top)
 * @param begun ids of the placements a cue has named already; the ones named here are added
 */
export function cuesOf(
  realisation: Realisation,
  place: BarPlace,
  warningsOnly: boolean,
  begun: Set<string>,
): readonly PartCue[] {
  if (!place.differs) return [];
  const placed = realisation.placements.filter(
    ({ start, length, placement }) =>
      placement.layer === 'soloist' &&
      start < place.start + place.bar.length &&
      start + length > place.start,
  );
  return placed.flatMap(({ start, length, placement }): PartCue[] => {
    const words = wordsOf(placement);
    if (warningsOnly && words === 'over the top') return [];
    const from: Ticks = Math.max(0, start - place.start);
    const to = Math.min(place.bar.length, start + length - place.start);
    const goesOn = begun.has(placement.id);
    const sounding =
      goesOn && place.solo.chords.length > 0 ? place.solo.chords : soundingIn(place.solo);
    const inside = sounding.filter(({ at }) => at >= from && at < to);
    const other = inside.findIndex((held) => !playedByBand(place, held));
    // At its beginning a rewrite may rest at home for a while: nothing to say before it leaves.
    if (!goesOn && other < 0) return [];
    const harmonies = goesOn ? inside : inside.slice(other);
    const first = harmonies[0];
    if (!first) return [];
    begun.add(placement.id);
    return [{ at: first.at, words: goesOn ? null : words, harmonies, choruses: null }];
  });
}
