import { fretsFromCapo } from '../../shared-core/parts/voiced.ts';

/**
 * A guitar shape on one line, from the lowest string up, counted from the capo, `x` for a string left out:
 * `x5453x`; with hyphens where a fret has two figures: `x-10-9-10-9-x`. Common practice, no source.
 */
export function fretsText(frets: readonly (number | null)[], capo: number): string {
  const signs = fretsFromCapo(frets, capo).map((fret) => (fret === null ? 'x' : String(fret)));
  return signs.join(signs.some((sign) => sign.length > 1) ? '-' : '');
}
