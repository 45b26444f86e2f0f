import type { Realisation } from '../arrangement/model.ts';
import { soloistOf } from '../arrangement/soloist-of.ts';
import type { PartInput } from './input.ts';
import { laidOutChoruses } from './lay-out.ts';

/**
 * Choruses (0-based) a chair only counts through: it lays out in all of them; or, for a soloist, they belong to
 * another player, and nothing is asked of this chair in them: no line kept for it, no instruction but to lay out.
 */
export function othersOf(
  { analysis, state, chair, band }: PartInput,
  real: Realisation,
): Set<number> {
  const out = laidOutChoruses(analysis.chorus, state, chair.id);
  if (chair.role !== 'soloist') return new Set(out);
  const asked = new Set([
    ...Object.values(state.lines).flatMap((line) => (line.chair === chair.id ? [line.chorus] : [])),
    ...Object.values(state.directions).flatMap(({ chair: id, chorus, words }) =>
      id === chair.id && words !== 'lay out' ? [chorus] : [],
    ),
  ]);
  const melody = analysis.chorus.melody.length > 0;
  const others = real.choruses.filter((plan) => {
    const owner = soloistOf(plan, real.choruses, band, melody);
    return owner !== null && owner !== chair.id && !asked.has(plan.id);
  });
  return new Set([...out, ...others.map((plan) => plan.order)]);
}
