import { chromaOf, type Spelled } from '../pitch/spelled.ts';
import { BIT, GROUP, rowsOf } from './degrees.ts';
import type { Chord, Harmony } from './model.ts';

/**
 * The notes of a chord, spelled by their degree: root up, the bass first when it is slashed. A bass
 * that is a chord tone is named once, as it is written. N.C. has none. `C7#9` has a D sharp, `Cdim7` a
 * B double flat. `7alt` sounds with its raised fifth and ninth (see `quality.ts`).
 *
 * @example notesOf(parse('C7#9')) // C E G Bb D# as [0, 4, 1, -2, 9]
 */
export function notesOf(harmony: Harmony): Spelled[] {
  if (harmony.kind === 'none') return [];
  const upper = harmony.quality.fifths.map((place) => harmony.root + place);
  const bass = harmony.bass;
  if (bass === null) return upper;
  return [bass, ...upper.filter((pc) => chromaOf(pc) !== chromaOf(bass))];
}

/** Pitch classes of a harmony as twelve bits, bit 0 = C, the bass included. */
export function chromaSetOf(harmony: Harmony): number {
  let set = 0;
  for (const pc of notesOf(harmony)) set |= 1 << chromaOf(pc);
  return set;
}

/**
 * The two notes that tell what a chord is and where it goes: third (or what stands for it) and seventh;
 * the sixth where there is no seventh, the fifth where there is neither. Common practice, no source.
 *
 * @example guideTones(parse('C7alt')) // E and Bb
 */
export function guideTones(chord: Chord): Spelled[] {
  const mask = chord.quality.mask;
  const third = firstOf(mask, [GROUP.thirds, BIT.four, BIT.two, BIT.eleven]);
  const seventh = firstOf(mask, [BIT.seven, BIT.b7, BIT.bb7, BIT.six, BIT.b6, GROUP.fifths]);
  return rowsOf(third | seventh).map((row) => chord.root + row.fifths);
}

/** The lowest bit of the first group that the mask has; 0 when it has none. */
function firstOf(mask: number, groups: readonly number[]): number {
  for (const group of groups) {
    const found = mask & group;
    if (found !== 0) return found & -found;
  }
  return 0;
}
