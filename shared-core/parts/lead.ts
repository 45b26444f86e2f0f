import type { Band, Chair } from '../arrangement/band.ts';
import type { Realisation } from '../arrangement/model.ts';
import type { BarDirection, BarPlace } from './content.ts';

/**
 * With two or more comping chairs: who leads where the band's changes move. The first of them in score
 * order does, the others follow; else two players fill the same bar. Common practice, no source.
 */
export function leadWords(chair: Chair, band: Band): string | null {
  const comping = band.chairs
    .filter(({ role }) => role === 'comping')
    .sort((a, b) => a.order - b.order);
  const [first] = comping;
  if (chair.role !== 'comping' || comping.length < 2 || !first) return null;
  return first.id === chair.id ? 'lead the changes' : `follow ${first.name}`;
}

/** The lead said where a rewrite that the whole band plays begins in this bar. */
export function leadDirections(
  words: string | null,
  realisation: Realisation,
  place: BarPlace,
): readonly BarDirection[] {
  if (words === null) return [];
  return realisation.placements
    .filter(({ start, placement }) => {
      const inside = start >= place.start && start < place.start + place.bar.length;
      return inside && placement.layer === 'band';
    })
    .map(({ start }) => ({
      at: start - place.start,
      words,
      begins: true,
      lead: true,
      events: null,
    }));
}
