import { describe, expect, it } from 'vitest';
import { chorusesInOrder, emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import type { ArrangementState, Placement } from '../../shared-core/arrangement/model.ts';
import { understand } from '../../shared-core/proposals/understand.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { harmonyOf } from '../engine/wire.ts';
import { contentsOf } from './content.ts';
import { segmentsOf } from './ruler.ts';

const { tune } = readTune('key: C major\n[A]\n| Dm7 | % | G7 | % |\n[B]\n| Am7 | D7 | Cmaj7 | % |');
const understood = tune && understand(tune);
if (!understood?.ok) throw new Error('the test tune cannot be understood');
const { chorus, spans } = understood.value;
const segments = segmentsOf(chorus, spans);

function placed(id: string, chorusId: string, bar: number, bars = 2): Placement {
  return {
    id,
    chorus: chorusId,
    layer: 'band',
    start: (bar - 1) * 3840,
    length: bars * 3840,
    changes: [{ at: 0, length: bars * 3840, harmony: harmonyOf('Fm6') }],
    origin: { kind: 'hand' },
  };
}

function stateWith(...placements: Placement[]): ArrangementState {
  return {
    ...emptyArrangement('Trio', 3),
    placements: Object.fromEntries(placements.map((one) => [one.id, one])),
  };
}

function contents(state: ArrangementState, before: ReturnType<typeof contentsOf> = new Map()) {
  return contentsOf(
    state,
    chorusesInOrder(state),
    segments,
    chorus.length,
    new Map([['bass', 'Double bass']]),
    before,
  );
}

describe('what lies on the rungs', () => {
  const first = placed('p1', 'c1', 1);

  it('leaves every rung but its own untouched by a decision', () => {
    const before = contents(stateWith(first));
    const after = contents(stateWith(first, placed('p2', 'c2', 3)), before);
    expect(after.get('c1')).toBe(before.get('c1'));
    expect(after.get('c3')).toBe(before.get('c3'));
    expect(after.get('c2')).not.toBe(before.get('c2'));
  });

  it('hands what runs over the end of the form to the next chorus', () => {
    const over = placed('p3', 'c1', 8, 2);
    const laid = contents(stateWith(over));
    expect([laid.get('c1')?.tail, laid.get('c2')?.tail, laid.get('c3')?.tail]).toEqual([
      null,
      over,
      null,
    ]);
  });

  it('says what a chair is told where it begins', () => {
    const told = {
      ...stateWith(),
      directions: {
        d1: {
          id: 'd1',
          chorus: 'c2',
          chair: 'bass',
          start: 2 * 3840,
          length: 3840,
          words: 'two-feel' as const,
        },
      },
    };
    const laid = contents(told);
    expect([...(laid.get('c2')?.told.values() ?? [])]).toEqual(['Double bass: two-feel']);
    expect(laid.get('c1')?.told.size).toBe(0);
  });

  it('puts the band first where both layers stand in one cell', () => {
    const solo: Placement = { ...placed('p0', 'c1', 1), layer: 'soloist' };
    const laid = contents(stateWith(solo, first));
    const cell = [...(laid.get('c1')?.bySegment.values() ?? [])][0];
    expect(cell?.map((one) => one.layer)).toEqual(['band', 'soloist']);
  });
});
