import type { Chord, ChordQuality } from '../chord/model.ts';
import type { Change, Site } from '../devices/model.ts';
import type { Mode } from '../pitch/key.ts';
import { type Chroma, chromaOf, modulo } from '../pitch/spelled.ts';
import { scaleHolds } from './clash.ts';
import { rounded, WEIGHTS } from './weights.ts';

/**
 * Tension of one chord in a local key, 0 (home) to 1: chord tones outside the key, the pull of dominants
 * and of symmetric chords, and how far the root lies from the tonic round the circle of fifths.
 * The shares stand in `weights.ts`; the ordering they must give (home < two < dominant < tritone
 * substitute) is common practice, no source.
 */
export function tensionOf(chord: Chord, site: Pick<Site, 'key' | 'held'>): number {
  const { tonic, mode } = site.key;
  if (chord === site.held && chord.root === tonic) return 0;
  const table = tableOf(chord.quality, mode);
  const above = modulo(chromaOf(chord.root) - chromaOf(tonic), 12);
  let tension = table[above];
  if (tension === undefined) {
    tension = measure(chord.quality, above, mode);
    table[above] = tension;
  }
  return tension;
}

/** Tension depends on a quality and on where its root lies in the key alone, so it is worked out once for each. */
const tables = {
  major: new WeakMap<ChordQuality, (number | undefined)[]>(),
  minor: new WeakMap<ChordQuality, (number | undefined)[]>(),
};

function tableOf(quality: ChordQuality, mode: Mode): (number | undefined)[] {
  let table = tables[mode].get(quality);
  if (table === undefined) {
    table = new Array<number | undefined>(12).fill(undefined);
    tables[mode].set(quality, table);
  }
  return table;
}

/** @param above semitones of the root above the tonic */
function measure(quality: ChordQuality, above: Chroma, mode: Mode): number {
  const weights = WEIGHTS.tension;
  let tension = 0;
  for (const fifths of quality.fifths)
    if (!scaleHolds(mode, modulo(above + chromaOf(fifths), 12))) tension += weights.outside;
  if (quality.family === 'dominant') tension += weights.dominant;
  if (quality.family === 'diminished' || quality.family === 'augmented')
    tension += weights.symmetric;
  const around = modulo(above * 7, 12);
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
  const tension = new Array<number>(changes.length);
  let peak = 0;
  for (let index = 0; index < changes.length; index++) {
    const harmony = changes[index]?.harmony;
    const figure = harmony?.kind === 'chord' ? tensionOf(harmony, site) : 0;
    tension[index] = figure;
    if (figure > peak) peak = figure;
  }
  return { tension, peak };
}
