import type { Analysis, DeviceName } from '../../shared-core/analysis/model.ts';
import type { ArrangementState, Placement } from '../../shared-core/arrangement/model.ts';
import type { Change } from '../../shared-core/devices/model.ts';
import { thinAt } from '../../shared-core/proposals/understand.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';

/** Written changes that a device accounts for, and what they come down to without it. */
export interface Plainer {
  readonly device: DeviceName;
  /** Chorus ticks. */
  readonly start: Ticks;
  readonly length: Ticks;
  /** What is written there now, and the plainer changes; ticks from `start`. */
  readonly written: readonly Change[];
  readonly changes: readonly Change[];
}

/** Every stretch that can be made plainer and begins in [start, start + length); null looks at the whole chorus. */
export function plainerIn(
  analysis: Analysis,
  where: { readonly start: Ticks; readonly length: Ticks } | null,
): readonly Plainer[] {
  const found = new Map<string, Plainer>();
  for (const { index, start, device } of analysis.chords) {
    if (device === null) continue;
    if (where && (start < where.start || start >= where.start + where.length)) continue;
    const thinning = thinAt(analysis, index);
    const first = thinning && analysis.chords[thinning.first];
    if (!thinning || !first) continue;
    const length = thinning.changes.reduce((sum, change) => sum + change.length, 0);
    // Two chords of one device come down to the same changes: said once.
    found.set(`${first.start} ${length}`, {
      device: thinning.device,
      start: first.start,
      length,
      written: writtenIn(analysis, first.start, length),
      changes: thinning.changes,
    });
  }
  return [...found.values()].sort((a, b) => a.start - b.start);
}

/** The written changes from `start` on, round the form's end where they reach it. */
function writtenIn({ chorus }: Analysis, start: Ticks, length: Ticks): Change[] {
  const twice = [0, chorus.length].flatMap((round) =>
    chorus.harmony.map((event) => ({ ...event, start: event.start + round })),
  );
  return twice
    .filter((event) => event.start < start + length && event.start + event.length > start)
    .map((event) => {
      const from = Math.max(event.start, start);
      const to = Math.min(event.start + event.length, start + length);
      return { at: from - start, length: to - from, harmony: event.harmony };
    });
}

/** The plainer changes as a hand edit of one chorus, for the whole band. */
export function plainerPlacement(plainer: Plainer, chorus: string, id: string): Placement {
  const { start, length, changes } = plainer;
  return { id, chorus, layer: 'band', start, length, changes, origin: { kind: 'hand' } };
}

/** Whether the whole stretch is still as written in a chorus, so that nothing decided is lost. */
export function standsClear(
  state: ArrangementState,
  chorus: string,
  { start, length }: Plainer,
): boolean {
  return Object.values(state.placements).every(
    (other) =>
      other.chorus !== chorus ||
      other.layer !== 'band' ||
      other.start >= start + length ||
      start >= other.start + other.length,
  );
}
