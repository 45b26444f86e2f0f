import type { Analysis } from '../../shared-core/analysis/model.ts';
import { symbolOf } from '../../shared-core/chord/format.ts';
import type { Change } from '../../shared-core/devices/model.ts';
import { tensionOf } from '../../shared-core/proposals/tension.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';

/**
 * Tension of changes laid at a place of the chorus, 0 (home) to 1, one figure a change: measured in the
 * key that holds there, against the chord that is written there.
 */
export function tensionsAt(
  analysis: Analysis,
  start: Ticks,
  changes: readonly Change[],
): readonly number[] {
  const written = analysis.chords.find(
    (reading) => reading.start <= start && start < reading.start + reading.length,
  );
  return changes.map(({ harmony }) => {
    if (harmony.kind === 'none' || written?.harmony.kind !== 'chord') return 0;
    if (symbolOf(harmony) === symbolOf(written.harmony)) return 0;
    return tensionOf(harmony, { key: written.localKey, held: written.harmony });
  });
}
