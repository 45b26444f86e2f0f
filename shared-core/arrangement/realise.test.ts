import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Chorus, TimedHarmony } from '../tune/model.ts';
import { emptyArrangement, fold } from './fold.ts';
import type { Command, Layer, Placement } from './model.ts';
import { harmonyAt, realise } from './realise.ts';

const REST = { kind: 'none' } as const;
const BAR = 3840;

/** Four bars of written changes; harmonies are told apart by identity. */
const WRITTEN: readonly TimedHarmony[] = [0, 1, 2, 3].map((bar) => ({
  start: bar * BAR,
  length: BAR,
  harmony: { ...REST },
}));
const CHORUS: Chorus = { bars: [], harmony: WRITTEN, melody: [], length: 4 * BAR };

function place(id: string, chorus: string, start: number, length: number, layer: Layer): Placement {
  return {
    id,
    chorus,
    layer,
    start,
    length,
    changes: [{ at: 0, length, harmony: { ...REST } }],
    origin: { kind: 'hand' },
  };
}

function laidOut(choruses: number, ...placements: Placement[]) {
  const commands = placements.map((placement): Command => ({ kind: 'edit', placement }));
  const state = fold(emptyArrangement('X', choruses), commands);
  if (!state.ok) throw new Error(state.error.code);
  return realise(CHORUS, state.value);
}

function coversExactly(line: readonly TimedHarmony[], end: number): boolean {
  let at = 0;
  for (const event of line) {
    if (event.start !== at || event.length <= 0) return false;
    at += event.length;
  }
  return at === end;
}

describe('laying an arrangement out', () => {
  it('leaves the comping unchanged under what only the soloist plays', () => {
    const over = place('s', 'c2', BAR, BAR, 'soloist');
    const { band, solo } = laidOut(2, over);
    expect(harmonyAt(band, 5 * BAR)).toBe(WRITTEN[1]?.harmony);
    expect(harmonyAt(solo, 5 * BAR)).toBe(over.changes[0]?.harmony);
    expect(harmonyAt(solo, BAR)).toBe(WRITTEN[1]?.harmony);
  });

  it('gives the soloist the band changes where nothing else is over them', () => {
    const both = place('b', 'c1', 0, 2 * BAR, 'band');
    const { band, solo } = laidOut(1, both);
    expect(solo).toEqual(band);
    expect(harmonyAt(solo, BAR)).toBe(both.changes[0]?.harmony);
  });

  it('carries a rewrite over the form end into the top of the next chorus, and cuts it at the very end', () => {
    const wrap = place('w', 'c1', 3 * BAR, 2 * BAR, 'band');
    const last = place('v', 'c2', 3 * BAR, 2 * BAR, 'band');
    const { band } = laidOut(2, wrap, last);
    expect(harmonyAt(band, 4 * BAR)).toBe(wrap.changes[0]?.harmony);
    expect(coversExactly(band, 8 * BAR)).toBe(true);
  });

  it('covers every tick once in both layers whatever is placed', () => {
    const some = fc.array(
      fc.tuple(
        fc.integer({ min: 1, max: 3 }),
        fc.nat(15),
        fc.integer({ min: 1, max: 12 }),
        fc.boolean(),
      ),
      { maxLength: 12 },
    );
    fc.assert(
      fc.property(some, (rows) => {
        const placements = rows.map(([c, at, beats, soloist], i) =>
          place(`p${i}`, `c${c}`, at * 960, beats * 960, soloist ? 'soloist' : 'band'),
        );
        const { band, solo } = laidOut(3, ...placements);
        expect(coversExactly(band, 12 * BAR)).toBe(true);
        expect(coversExactly(solo, 12 * BAR)).toBe(true);
      }),
    );
  });
});
