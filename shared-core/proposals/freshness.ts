import type { DeviceName } from '../analysis/model.ts';
import type { DeviceDegree } from '../devices/model.ts';
import type { Ticks } from '../time/meter.ts';
import type { DeviceUse } from './model.ts';
import { rounded, WEIGHTS } from './weights.ts';

/** What freshness is asked about. */
export interface FreshnessQuestion {
  /** 0-based order of the chorus. */
  readonly chorus: number;
  readonly device: DeviceName;
  readonly degree: DeviceDegree;
  readonly start: Ticks;
  readonly length: Ticks;
}

/**
 * 1 when nothing like it has been used, 0 when the chorus next door does the very same at the very same
 * place. Uses fade with the distance between choruses; other degrees of a device count for less.
 */
export function freshnessOf(question: FreshnessQuestion, uses: readonly DeviceUse[]): number {
  let stale = 0;
  for (const use of uses) {
    if (use.device !== question.device) continue;
    const here =
      use.start < question.start + question.length && question.start < use.start + use.length;
    const apart = Math.abs(use.chorus - question.chorus);
    if (apart === 0 && here) continue;
    const base = here ? WEIGHTS.freshness.samePlace : WEIGHTS.freshness.sameDevice;
    const degree = use.degree === question.degree ? 1 : WEIGHTS.freshness.otherDegree;
    stale = Math.max(stale, base * degree * WEIGHTS.freshness.fade ** Math.max(0, apart - 1));
  }
  return rounded(1 - stale);
}
