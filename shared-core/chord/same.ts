import type { Harmony } from './model.ts';

/** Same root, quality and bass; brackets around a chord do not count. */
export function sameChord(a: Harmony, b: Harmony): boolean {
  if (a === b) return true;
  if (a.kind === 'none' || b.kind === 'none') return a.kind === b.kind;
  return a.root === b.root && a.quality === b.quality && a.bass === b.bass;
}
