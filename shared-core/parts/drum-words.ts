import type { Direction, Realisation } from '../arrangement/model.ts';
import type { Ticks } from '../time/meter.ts';
import type { BarDirection, BarPlace } from './content.ts';
import type { PartInput } from './input.ts';
import { bandMoves } from './moves.ts';
import { pushIn } from './pushed.ts';
import { offBeats } from './slashes.ts';
import { stretchOf } from './timeline.ts';

/** What the bass does that a drummer plays with. Common practice, no source. */
const BASS_WORDS: Partial<Record<Direction['words'], string>> = {
  'two-feel': 'bass in two',
  walk: 'bass walks',
  pedal: 'bass pedal',
};

/** Places in a bar that the kit plays with the band: chords between the beats, and one brought in early. */
export function kicksOf({ bar, band, pushed }: BarPlace): readonly Ticks[] {
  const places = new Set(offBeats(bar.meter, band.chords));
  if (pushed !== null) places.add(pushed);
  return [...places].sort((a, b) => a - b);
}

/**
 * What a drummer is told of the others, bar by bar: hits with the band, where the band's changes move, how
 * the bass goes. The chart has no chords that would show it.
 *
 * @param concert the arrangement; a drummer reads it as it sounds
 */
export function drumWords(
  { analysis: { chorus }, state, band }: PartInput,
  concert: Realisation,
): (place: BarPlace) => readonly BarDirection[] {
  const moves = concert.choruses.map(({ order }) => bandMoves(chorus, concert, order));
  const basses = new Set(band.chairs.filter(({ role }) => role === 'bass').map(({ id }) => id));
  const directed = Object.values(state.directions).filter(({ chair }) => basses.has(chair));
  const before = ({ chorus: order, bar, start }: BarPlace): readonly Ticks[] => {
    const last = chorus.bars[bar.index - 1];
    if (!last) return [];
    const from = start - last.length;
    const held = stretchOf(concert.band, from, last.length);
    const pushed = pushIn(concert.band, from, last);
    const place = { chorus: order, bar: last, start: from, band: held, solo: held, differs: false };
    return kicksOf({ ...place, pushed });
  };
  return (place) => {
    const { bar } = place;
    const id = concert.choruses[place.chorus]?.id;
    const hit = kicksOf(place)[0];
    const moved = moves[place.chorus]?.get(bar.index);
    const bass = directed.flatMap(({ chorus: own, start, words }): BarDirection[] => {
      const said = BASS_WORDS[words];
      const here = own === id && start >= bar.start && start < bar.start + bar.length;
      return here && said ? [told(start - bar.start, said)] : [];
    });
    return [
      // Said once for bars of hits that follow each other.
      ...(hit !== undefined && before(place).length === 0 ? [told(hit, 'hit with band')] : []),
      ...(moved === undefined ? [] : [told(0, moved)]),
      ...bass,
    ];
  };
}

function told(at: Ticks, words: string): BarDirection {
  return { at, words, begins: true, lead: false, events: null };
}
