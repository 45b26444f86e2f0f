import { describe, expect, it } from 'vitest';
import { arrangementOf, partOf, tuneOf } from '../../tests/support/parts.ts';
import type { ArrangementState, ChorusPlan } from '../arrangement/model.ts';
import { dynamicsOf } from './dynamics.ts';

const plans = (...intensities: number[]): ChorusPlan[] =>
  intensities.map((intensity, order) => ({ id: `c${order}`, order, label: null, intensity }));

const KNOWN = tuneOf('title: Arc\nkey: C major\nmeter: 4/4\n\n[A]\n| C | F | G7 | C |');

function planned(labels: readonly string[], intensities: readonly number[]): ArrangementState {
  const state = arrangementOf(KNOWN, labels);
  const choruses = Object.fromEntries(
    Object.values(state.choruses).map((plan) => [
      plan.id,
      { ...plan, intensity: intensities[plan.order] ?? 0 },
    ]),
  );
  return { ...state, choruses };
}

describe('the dynamics of choruses', () => {
  it('rise with the intensity, and say where the next chorus is to be prepared', () => {
    expect(dynamicsOf(plans(0, 1, 2, 3, 5, 4, 0))).toEqual([
      'p',
      'mp',
      'mp',
      'mf, build',
      'f',
      'f',
      'p',
    ]);
  });

  it('are not printed where nobody has decided any', () => {
    expect(dynamicsOf(plans(0, 0, 0))).toEqual([null, null, null]);
  });

  it('stand in the road map and over the block of every chair', () => {
    const state = planned(['Head', 'Solo', 'Solo', 'Head'], [0, 2, 2, 0]);
    for (const chair of ['guitar', 'bass', 'drums', 'tenor'])
      expect(partOf(KNOWN, state, chair).head.road).toBe('1 Head (p) · 2–3 Solo (mp) · 4 Head (p)');
    const written = partOf(KNOWN, state, 'drums', { layout: 'written-out' });
    expect(written.blocks.map(({ heading }) => heading)).toEqual([
      'Chorus 1 · Head · p',
      'Chorus 2 · Solo · mp',
      'Chorus 3 · Solo · mp',
      'Chorus 4 · Head · p',
    ]);
  });

  it('part choruses of one name that are not played alike', () => {
    const state = planned(['Solo', 'Solo', 'Solo'], [1, 2, 5]);
    expect(partOf(KNOWN, state, 'drums').head.road).toBe(
      '1 Solo (mp) · 2 Solo (mp, build) · 3 Solo (f)',
    );
  });
});
