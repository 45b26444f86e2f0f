import type { Chord } from '../chord/model.ts';
import type { Change, Site } from '../devices/model.ts';
import { chromaOf, modulo } from '../pitch/spelled.ts';
import { inKey } from './clash.ts';
import { rounded, WEIGHTS } from './weights.ts';

/**
 * Tension of one chord in a local key, 0 (home) to 1: chord tones outside the key, the pull of dominants
 * and of symmetric chords, and how far the root lies from the tonic round the circle of fifths.
 * The shares stand in `weights.ts`; the ordering they must give (home < two < dominant < tritone
 * substitute) is common practice, no source.
 */
export function tensionOf(chord: Chord, site: Pick<Site, 'key' | 'held'>): number {
  if (chord === site.held && chord.root === site.key.tonic) return 0;
  const { quality, root } = chord;
  const weights = WEIGHTS.tension;
  let tension = 0;
  for (const fifths of quality.fifths) if (!inKey(site, root + fifths)) tension += weights.outside;
  if (quality.family === 'dominant') tension += weights.dominant;
  if (quality.family === 'diminished' || quality.family === 'augmented')
    tension += weights.symmetric;
  const around = modulo((chromaOf(root) - chromaOf(site.key.tonic)) * 7, 12);
  const fifthsAway = Math.min(around, 12 - around);
  tension += fifthsAway * weights.perFifth;
  if (fifthsAway > 0) tension += weights.away;
  return rounded(Math.min(1, tension));
}

/** The contour along a rewrite: one figure a change, and the highest. */
export function tensionAlong(
  site: Site,
  changes: readonly Change[],
): { tension: number[]; peak: number } {
  const tension: number[] = [];
  let peak = 0;
  for (const { harmony } of changes) {
    const figure = harmony.kind === 'chord' ? tensionOf(harmony, site) : 0;
    if (figure > peak) peak = figure;
    tension.push(figure);
  }
  return { tension, peak };
}
