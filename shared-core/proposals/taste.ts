import type { DeviceName } from '../analysis/model.ts';
import type { DeviceDegree } from '../devices/model.ts';
import { rounded, WEIGHTS } from './weights.ts';

/** One row of the leader's history. */
export interface TasteCount {
  readonly device: DeviceName;
  readonly degree: DeviceDegree;
  readonly accepted: number;
  readonly rejected: number;
}

/** The leader's history and what it makes of each device and degree. */
export interface Taste {
  readonly counts: readonly TasteCount[];
  /** 0-1; 0.5 is no opinion. */
  weightOf(device: DeviceName, degree: DeviceDegree): number;
}

/** No history: every weight is one half. */
export const NO_TASTE: Taste = tasteOf([]);

/**
 * Learns from accepts and rejects by a beta-binomial update: a device starts from an even prior worth
 * `taste.prior` accepts and as many rejects, and a degree starts from what its device has come to, so
 * that laying aside every triad form does not condemn the seventh forms. A weight never falls under the
 * floor: history re-orders and never hides. (Beta-binomial update: any statistics handbook; from memory.)
 *
 * @example tasteOf([{ device: 'backdoor', degree: 'seventh', accepted: 4, rejected: 0 }])
 *   .weightOf('backdoor', 'seventh') // over one half
 */
export function tasteOf(counts: readonly TasteCount[]): Taste {
  const devices = new Map<DeviceName, { accepted: number; rejected: number }>();
  const degrees = new Map<string, TasteCount>();
  for (const count of counts) {
    const sum = devices.get(count.device) ?? { accepted: 0, rejected: 0 };
    devices.set(count.device, {
      accepted: sum.accepted + count.accepted,
      rejected: sum.rejected + count.rejected,
    });
    degrees.set(`${count.device}.${count.degree}`, count);
  }
  return {
    counts,
    weightOf(device, degree) {
      if (counts.length === 0) return 0.5;
      const { prior, floor } = WEIGHTS.taste;
      const sum = devices.get(device) ?? { accepted: 0, rejected: 0 };
      const mean = (sum.accepted + prior) / (sum.accepted + sum.rejected + 2 * prior);
      const own = degrees.get(`${device}.${degree}`) ?? { accepted: 0, rejected: 0 };
      const weight = (own.accepted + prior * 2 * mean) / (own.accepted + own.rejected + 2 * prior);
      return rounded(Math.max(floor, weight));
    },
  };
}
