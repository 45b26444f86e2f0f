import type { Interval } from '../pitch/interval.ts';
import type { Spelled } from '../pitch/spelled.ts';
import type { Harmony } from './model.ts';

/**
 * Moves a harmony by a spelled interval: root and bass move together, the quality stays. Moving back
 * gives the same spelling. The result may carry spellings no copyist would print (see
 * `respellHarmony` in `respell.ts`).
 *
 * @example transposeHarmony(parse('Bb7'), {fifths: 2, semitones: 2}) // C7
 */
export function transposeHarmony(harmony: Harmony, by: Interval): Harmony {
  return shiftHarmony(harmony, by.fifths);
}

/** Moves a harmony along the line of fifths, octaves aside. */
export function shiftHarmony(harmony: Harmony, fifths: Spelled): Harmony {
  if (harmony.kind === 'none' || fifths === 0) return harmony;
  return {
    ...harmony,
    root: harmony.root + fifths,
    bass: harmony.bass === null ? null : harmony.bass + fifths,
  };
}
