import { analyse } from '../analysis/analyse.ts';
import type { Analysis } from '../analysis/model.ts';
import { DEVICES } from '../devices/index.ts';
import type { Thinning } from '../devices/model.ts';
import { simplify } from '../devices/thin.ts';
import type { Result } from '../result.ts';
import type { Tune, TuneError } from '../tune/model.ts';

/**
 * Understands a tune with every device of the trade at hand: what the program does whenever it opens one.
 *
 * @example understand(tune) // { ok: true, value: { key, chords, spans, cadences, ... } }
 */
export function understand(tune: Tune): Result<Analysis, TuneError> {
  return analyse(tune, DEVICES);
}

/**
 * The inverse of a proposal: what the changes come down to when the device recognised on a chord is
 * taken out. Null where no device is recognised, or nothing plainer can stand there.
 *
 * @param index place in `analysis.chords`
 * @example thinAt(analysis, 3) // the tritone substitute there gives its time back to plain V7
 */
export function thinAt(analysis: Analysis, index: number): Thinning | null {
  return simplify(analysis, DEVICES, index);
}
