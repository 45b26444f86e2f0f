import { analyse } from '../analysis/analyse.ts';
import type { Analysis } from '../analysis/model.ts';
import { DEVICES } from '../devices/index.ts';
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
