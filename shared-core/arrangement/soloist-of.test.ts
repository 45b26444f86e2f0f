import { describe, expect, it } from 'vitest';
import { BAND } from '../../tests/support/parts.ts';
import type { ChorusPlan } from './model.ts';
import { isHead, soloistInTurn, soloistOf } from './soloist-of.ts';

function plansOf(...labels: (string | null)[]): readonly ChorusPlan[] {
  return labels.map((label, order) => ({ id: `c${order}`, order, label, intensity: 0 }));
}

function owners(labels: (string | null)[], hasMelody: boolean): readonly (string | null)[] {
  const plans = plansOf(...labels);
  return plans.map((plan) => soloistOf(plan, plans, BAND, hasMelody));
}

describe('whose chorus it is', () => {
  it('is the chair’s that the label names, wherever in the label it stands', () => {
    expect(owners(['Tenor saxophone solo', '2nd time: TRUMPET', 'Guitar solo'], true)).toEqual([
      'tenor',
      'trumpet',
      'guitar',
    ]);
  });

  it('is found by the first word of a name when one chair only has it', () => {
    expect(owners(['Tenor solo', 'Double solo'], false)).toEqual(['tenor', 'bass']);
    const twins = BAND.chairs.map((chair) =>
      chair.id === 'alto' ? { ...chair, name: 'Tenor saxophone 2' } : chair,
    );
    const plans = plansOf('Tenor solo', 'Tenor saxophone 2 solo');
    expect(plans.map((plan) => soloistOf(plan, plans, { chairs: twins }, false))).toEqual([
      null,
      'alto',
    ]);
  });

  it('does not find a name inside another word', () => {
    expect(owners(['Trumpeting'], false)).toEqual([null]);
  });

  it('is the first soloist’s in a head, labelled or not', () => {
    expect(owners(['Head', null, 'Solo', 'Head out'], true)).toEqual([
      'tenor',
      'tenor',
      null,
      'tenor',
    ]);
    expect(owners([null, 'Solo', null], true)).toEqual(['tenor', null, 'tenor']);
  });

  it('goes round the soloists where nothing is said', () => {
    expect(owners([null, null, null, null, null, null], false)).toEqual([
      'tenor',
      'alto',
      'trumpet',
      'trombone',
      'tenor',
      'alto',
    ]);
    expect(owners([null, null, null, null], true)).toEqual(['tenor', 'tenor', 'alto', 'tenor']);
  });

  it('is everybody’s where a label names nobody, and without soloists', () => {
    expect(owners(['Head', 'Open', 'Solo'], false)).toEqual([null, null, null]);
    const plans = plansOf(null);
    expect(plans.map((plan) => soloistOf(plan, plans, { chairs: [] }, true))).toEqual([null]);
  });

  it('has a turn even then, so that one player at a time is heard', () => {
    const plans = plansOf('Head', 'Open', 'Open', 'Head out');
    expect(plans.map((plan) => soloistInTurn(plan, BAND, true))).toEqual([
      'tenor',
      'tenor',
      'alto',
      'trumpet',
    ]);
    expect(plans.map((plan) => isHead(plan, plans, true))).toEqual([true, false, false, true]);
  });
});
