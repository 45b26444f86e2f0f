import { describe, expect, it } from 'vitest';
import { emptyArrangement, fold } from './fold.ts';
import { labelOf } from './label.ts';
import type { Placement } from './model.ts';

const REST = { kind: 'none' } as const;
const PLACED: Placement = {
  id: 'p',
  chorus: 'c2',
  layer: 'band',
  start: 0,
  length: 960,
  changes: [{ at: 0, length: 960, harmony: REST }],
  origin: { kind: 'hand' },
};

describe('the words of the history', () => {
  const start = emptyArrangement('Saturday', 3);

  it('say what was done and in which chorus', () => {
    const rejection = {
      id: 'c3:x',
      chorus: 'c3',
      proposal: 'x',
      device: 'minor-four',
      degree: 'triad',
    } as const;
    expect(labelOf({ kind: 'edit', placement: PLACED }, start)).toBe(
      'Write changes by hand, chorus 2',
    );
    expect(labelOf({ kind: 'reject', rejection }, start)).toBe('Lay aside minor four, chorus 3');
    expect(labelOf({ kind: 'set-chorus', chorus: 'c1', label: 'Head', intensity: 0 }, start)).toBe(
      'Set name and intensity, chorus 1',
    );
  });

  it('name a device as it is printed, and who plays it', () => {
    const origin = {
      kind: 'proposal',
      proposal: 'x',
      span: 'b1.1x4',
      device: 'two-five-split',
      degree: 'seventh',
      verdict: 'fine over the top',
      tells: null,
      home: null,
      reason: '',
    } as const;
    const placement: Placement = { ...PLACED, layer: 'soloist', origin };
    expect(labelOf({ kind: 'accept', placement }, start)).toBe(
      'Keep two-five split for the soloist, chorus 2',
    );
  });

  it('find the chorus of what is taken away', () => {
    const placed = fold(start, [{ kind: 'edit', placement: PLACED }]);
    if (!placed.ok) throw new Error(placed.error.code);
    expect(labelOf({ kind: 'remove', placement: 'p' }, placed.value)).toBe(
      'Restore the written changes, chorus 2',
    );
  });

  it('name no chorus where there are several or none', () => {
    const head = { name: 'Sunday', tempo: 120, feel: null };
    expect(labelOf({ kind: 'set-head', head }, start)).toBe('Set name, tempo and feel');
    expect(labelOf({ kind: 'batch', label: 'Plan all choruses', commands: [] }, start)).toBe(
      'Plan all choruses',
    );
  });
});
