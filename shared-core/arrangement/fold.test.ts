import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

import { applyCommand, applyDiff, emptyArrangement, fold, invertDiff } from './fold.ts';
import type { ArrangementState, Command, KeptLine, Placement } from './model.ts';

const NO_CHORD = { kind: 'none' } as const;

function placement(
  id: string,
  chorus: string,
  start: number,
  length: number,
  layer: Placement['layer'] = 'band',
): Placement {
  return {
    id,
    chorus,
    layer,
    start,
    length,
    changes: [{ at: 0, length, harmony: NO_CHORD }],
    origin: { kind: 'hand' },
  };
}

/** A line of quarters on middle C, one a beat. */
function keptLine(id: string, chorus: string, start: number, beats: number): KeptLine {
  const notes = Array.from({ length: beats }, (_, beat) => ({
    start: start + beat * 960,
    length: 960,
    pitch: { pc: 0, octave: 4 },
  }));
  const length = beats * 960;
  return { id, chorus, chair: 'tenor', start, length, degree: 'plain', seed: 1, notes };
}

/** Commands over few ids, so that they meet each other often: some apply, some are refused. */
const someCommand: fc.Arbitrary<Command> = fc.oneof(
  fc
    .tuple(
      fc.nat(5),
      fc.nat(4),
      fc.nat(6),
      fc.integer({ min: 1, max: 4 }),
      fc.constantFrom('band', 'soloist'),
    )
    .map(
      ([id, chorus, start, length, layer]): Command => ({
        kind: 'edit',
        placement: placement(
          `p${id}`,
          `c${chorus}`,
          start * 960,
          length * 960,
          layer as Placement['layer'],
        ),
      }),
    ),
  fc.nat(5).map((id): Command => ({ kind: 'remove', placement: `p${id}` })),
  fc.tuple(fc.nat(4), fc.nat(3)).map(
    ([c, p]): Command => ({
      kind: 'reject',
      rejection: {
        id: `c${c}:x${p}`,
        chorus: `c${c}`,
        proposal: `x${p}`,
        device: 'minor-four',
        degree: 'triad',
      },
    }),
  ),
  fc.tuple(fc.nat(5), fc.nat(4), fc.nat(6), fc.integer({ min: 1, max: 4 })).map(
    ([id, chorus, start, beats]): Command => ({
      kind: 'set-line',
      line: keptLine(`l${id}`, `c${chorus}`, start * 960, beats),
    }),
  ),
  fc.nat(5).map((id): Command => ({ kind: 'remove-line', line: `l${id}` })),
  fc.nat(6).map((c): Command => ({ kind: 'remove-chorus', chorus: `c${c}` })),
  fc.tuple(fc.nat(8), fc.nat(6)).map(
    ([id, order]): Command => ({
      kind: 'add-chorus',
      chorus: { id: `c${id}`, order, label: null, intensity: 0 },
    }),
  ),
  fc
    .tuple(fc.nat(6), fc.nat(6))
    .map(([c, to]): Command => ({ kind: 'move-chorus', chorus: `c${c}`, to })),
  fc.tuple(fc.nat(6), fc.nat(7)).map(
    ([c, intensity]): Command => ({
      kind: 'set-chorus',
      chorus: `c${c}`,
      label: 'Solo',
      intensity,
    }),
  ),
  fc
    .integer({ min: 0, max: 500 })
    .map((tempo): Command => ({ kind: 'set-head', head: { name: 'X', tempo, feel: null } })),
);

describe('folding commands', () => {
  it('gives the start back when every diff is applied backwards', () => {
    fc.assert(
      fc.property(fc.array(someCommand, { maxLength: 30 }), (commands) => {
        const start = emptyArrangement('Saturday', 3);
        let state: ArrangementState = start;
        const diffs = [];
        for (const command of commands) {
          const applied = applyCommand(state, command);
          if (!applied.ok) continue;
          diffs.push(applied.value.diff);
          expect(applyDiff(state, applied.value.diff)).toEqual(applied.value.state);
          state = applied.value.state;
        }
        for (const diff of diffs.reverse()) state = applyDiff(state, invertDiff(diff));
        expect(state).toEqual(start);
      }),
    );
  });

  it('keeps chorus orders dense whatever is added, moved and taken out', () => {
    fc.assert(
      fc.property(fc.array(someCommand, { maxLength: 30 }), (commands) => {
        let state = emptyArrangement('Saturday', 3);
        for (const command of commands) {
          const applied = applyCommand(state, command);
          if (applied.ok) state = applied.value.state;
        }
        const orders = Object.values(state.choruses).map((chorus) => chorus.order);
        expect(orders.sort((a, b) => a - b)).toEqual(orders.map((_, order) => order));
      }),
    );
  });

  it('replaces what stands at the same time in the same layer, and leaves the other layer alone', () => {
    const state = fold(emptyArrangement('Saturday', 1), [
      { kind: 'edit', placement: placement('a', 'c1', 0, 1920) },
      { kind: 'edit', placement: placement('s', 'c1', 0, 1920, 'soloist') },
      { kind: 'edit', placement: placement('b', 'c1', 960, 1920) },
    ]);
    expect(state.ok && Object.keys(state.value.placements).sort()).toEqual(['b', 's']);
  });

  it('refuses to take out the last chorus', () => {
    const result = applyCommand(emptyArrangement('Saturday', 1), {
      kind: 'remove-chorus',
      chorus: 'c1',
    });
    expect(result).toEqual({
      ok: false,
      error: { code: 'arrangement/last-chorus', data: { chorus: 'c1' } },
    });
  });

  it('keeps one line at a time for a chair, and takes them out with their chorus', () => {
    const start = emptyArrangement('Saturday', 2);
    const both = fold(start, [
      { kind: 'set-line', line: keptLine('a', 'c1', 0, 4) },
      { kind: 'set-line', line: { ...keptLine('t', 'c1', 0, 4), chair: 'trumpet' } },
      { kind: 'set-line', line: keptLine('b', 'c1', 2880, 4) },
    ]);
    expect(both.ok ? Object.keys(both.value.lines).sort() : []).toEqual(['b', 't']);
    if (!both.ok) throw new Error(both.error.code);
    const out = applyCommand(both.value, { kind: 'remove-chorus', chorus: 'c1' });
    expect(out.ok ? out.value.state.lines : null).toEqual({});
  });

  it.each([
    ['sounds over the one before', 960, 480],
    ['leaves the stretch', 3840, 960],
    ['has no length', 1920, 0],
  ])('refuses a line whose second note %s', (_, start, length) => {
    const line = keptLine('a', 'c1', 0, 1);
    const first = { start: 0, length: 1440, pitch: { pc: -3, octave: 4 } };
    const notes = [first, { start, length, pitch: { pc: 0, octave: 4 } }];
    const result = applyCommand(emptyArrangement('Saturday', 1), {
      kind: 'set-line',
      line: { ...line, length: 3840, notes },
    });
    expect(result).toEqual({
      ok: false,
      error: { code: 'arrangement/line-notes', data: { note: 2 } },
    });
  });

  it('refuses changes that leave a hole in their span', () => {
    const holed = {
      ...placement('a', 'c1', 0, 1920),
      changes: [{ at: 0, length: 960, harmony: NO_CHORD }],
    };
    const result = applyCommand(emptyArrangement('Saturday', 1), {
      kind: 'edit',
      placement: holed,
    });
    expect(result).toEqual({ ok: false, error: { code: 'arrangement/gap', data: { at: 960 } } });
  });

  it('undoes a whole batch as one decision', () => {
    const start = emptyArrangement('Saturday', 2);
    const applied = applyCommand(start, {
      kind: 'batch',
      label: 'Fill the choruses',
      commands: [
        { kind: 'edit', placement: placement('a', 'c1', 0, 960) },
        { kind: 'edit', placement: placement('b', 'c2', 0, 960) },
      ],
    });
    if (!applied.ok) throw new Error(applied.error.code);
    expect(applied.value.label).toBe('Fill the choruses');
    expect(applyDiff(applied.value.state, invertDiff(applied.value.diff))).toEqual(start);
  });
});
