import { describe, expect, it } from 'vitest';
import { applyCommand, emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import type { Command, Placement } from '../../shared-core/arrangement/model.ts';
import { encode } from '../../shared-core/contract/codec.ts';
import type { WireState } from '../../shared-core/contract/index.ts';
import { commandOf, harmonyOf, holdState, project } from './wire.ts';

function placement(id: string, chorus: string, symbol: string): Placement {
  return {
    id,
    chorus,
    layer: 'band',
    start: 0,
    length: 3840,
    changes: [{ at: 0, length: 3840, harmony: harmonyOf(symbol) }],
    origin: { kind: 'hand' },
  };
}

/** A state as it comes over the wire: everything made anew, harmonies as text. */
function wired(...placements: Placement[]): WireState {
  let state = emptyArrangement('Saturday', 3);
  for (const one of placements) {
    const applied = applyCommand(state, { kind: 'edit', placement: one });
    if (!applied.ok) throw new Error(applied.error.code);
    state = applied.value.state;
  }
  return JSON.parse(JSON.stringify(encode(state))) as WireState;
}

describe('a state from the shell', () => {
  const first = placement('p1', 'c1', 'Ebm6');
  const second = placement('p2', 'c2', 'Ab7#11');

  it('shares every record that did not change', () => {
    const before = holdState(wired(first), null);
    const after = holdState(wired(first, second), before);
    expect(after.state.placements.p1).toBe(before.state.placements.p1);
    expect(after.state.choruses).toBe(before.state.choruses);
    expect(after.state.placements).not.toBe(before.state.placements);
  });

  it('shares the whole table when nothing in it changed', () => {
    const before = holdState(wired(first, second), null);
    expect(holdState(wired(first, second), before).state.placements).toBe(before.state.placements);
  });

  it('notices a record that went', () => {
    const before = holdState(wired(first, second), null);
    const after = holdState(wired(first), before);
    expect(Object.keys(after.state.placements)).toEqual(['p1']);
  });

  it('reads harmonies back as the very same chord qualities', () => {
    const { state } = holdState(wired(second), null);
    expect(state.placements.p2).toEqual(second);
  });
});

describe('a decision on its way', () => {
  const first = placement('p1', 'c1', 'Ebm6');
  const second = placement('p2', 'c2', 'Ab7#11');

  it('shows what the shell will answer, so that the answer draws nothing again', () => {
    const before = holdState(wired(first), null);
    const shown = project(before, { kind: 'accept', placement: second });
    const answered = holdState(wired(first, second), shown);
    expect(answered.state.placements).toBe(shown.state.placements);
    expect(answered.state.placements.p2).toBe(second);
  });

  it('takes out what it replaces', () => {
    const before = holdState(wired(first), null);
    const shown = project(before, { kind: 'accept', placement: { ...second, chorus: 'c1' } });
    expect(Object.keys(shown.state.placements)).toEqual(['p2']);
    expect(Object.keys(shown.wire.placements)).toEqual(['p2']);
  });

  it('changes nothing when it cannot be done', () => {
    const before = holdState(wired(first), null);
    expect(project(before, { kind: 'remove', placement: 'gone' })).toBe(before);
  });
});

describe('a command', () => {
  it('crosses as text and comes back the same, inside a batch too', () => {
    const command: Command = {
      kind: 'batch',
      label: 'Plan',
      commands: [
        { kind: 'accept', placement: placement('p1', 'c1', 'C7alt') },
        { kind: 'remove', placement: 'p0' },
      ],
    };
    const crossed = JSON.parse(JSON.stringify(encode(command)));
    expect(crossed.commands[0].placement.changes[0].harmony).toBe('C7alt');
    expect(commandOf(crossed)).toEqual(command);
  });

  it('refuses text that is no chord', () => {
    expect(() => harmonyOf('Xyz')).toThrow(/Xyz/u);
  });
});
