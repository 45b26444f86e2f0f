import type { ChorusPlan } from '../arrangement/model.ts';

/** Marks for intensities 0-5: what a part says for the loudness the performance gives them. Common practice, no source. */
const MARKS = ['p', 'mp', 'mp', 'mf', 'f', 'f'] as const;

/** So many steps up to the next chorus are prepared in this one. */
const BUILD = 2;

/**
 * The dynamic of each chorus, by its place: `mf`, or `mf, build` where the next one is much more intense.
 * A plain chorus (0) stays plain to its end. Null for all of them where nobody has set an intensity: then
 * nothing was decided, and nothing is printed.
 *
 * @param choruses all of them, in playing order
 */
export function dynamicsOf(choruses: readonly ChorusPlan[]): readonly (string | null)[] {
  if (choruses.every(({ intensity }) => intensity === 0)) return choruses.map(() => null);
  return choruses.map(({ intensity }, at) => {
    const next = choruses[at + 1]?.intensity ?? 0;
    const builds = intensity > 0 && next >= intensity + BUILD;
    const mark = MARKS[intensity] ?? null;
    return builds && mark ? `${mark}, build` : mark;
  });
}
