import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CLASS } from './facts.ts';
import { type Arcs, gainOfArcs, parseArcs, strongestRest } from './grammar.ts';
import type { GrammarInput } from './rules.ts';
import type { Runs } from './runs.ts';

/** Runs of one bar each from roots and classes. */
function runsFrom(chords: readonly (readonly [number, number])[]): Runs {
  const count = chords.length;
  return {
    count,
    root: Int8Array.from(chords, ([root]) => root),
    kind: Uint8Array.from(chords, ([, kind]) => kind),
    bars: new Float64Array(count).fill(1),
    strength: new Uint8Array(count).fill(1),
    opensSection: new Uint8Array(count),
    first: Int32Array.from({ length: count + 1 }, (_, index) => index),
    runOf: Int32Array.from({ length: count }, (_, index) => index),
  };
}

function inputFrom(chords: readonly (readonly [number, number])[]): GrammarInput {
  return {
    runs: runsFrom(chords),
    keys: new Uint8Array(chords.length),
    home: 0,
    blues: false,
    extra: () => 0,
  };
}

const chordArbitrary = fc.tuple(
  fc.integer({ min: 0, max: 11 }),
  fc.constantFrom(CLASS.maj7, CLASS.min7, CLASS.dom, CLASS.hdim, CLASS.dim, CLASS.sus),
);

/** Steps forwards on the circle from a run to the one it prepares. */
const reach = (from: number, to: number, count: number): number => (to - from + count) % count;

/** Every way to lead each place of a cut form onwards (-1 where it rests) without crossing and without a rest under an arc. */
function allParses(count: number): number[][] {
  let parses: number[][] = [[]];
  for (let place = 0; place < count; place += 1) {
    const choices = [-1, ...Array.from({ length: count - 1 - place }, (_, i) => place + 1 + i)];
    parses = parses.flatMap((heads) => choices.map((head) => [...heads, head]));
  }
  return parses.filter((heads) =>
    heads.every((outer, from) =>
      heads
        .slice(from + 1, Math.max(outer, from + 1))
        .every((head) => head !== -1 && head <= outer),
    ),
  );
}

describe('parseArcs', () => {
  it('finds the best of all parses: brute force on forms of up to six chords', () => {
    fc.assert(
      fc.property(fc.array(chordArbitrary, { minLength: 2, maxLength: 6 }), (chords) => {
        const input = inputFrom(chords);
        const { count } = input.runs;
        const cut = strongestRest(input);
        const at = (place: number): number => (cut + 1 + place) % count;
        const gains = allParses(count).map((parse) => {
          const arcs: Arcs = new Int32Array(count).fill(-1);
          parse.forEach((head, place) => {
            if (head >= 0) arcs[at(place)] = at(head);
          });
          return gainOfArcs(input, arcs, cut);
        });
        expect(gainOfArcs(input, parseArcs(input), cut)).toBeCloseTo(Math.max(...gains), 9);
      }),
      { numRuns: 200 },
    );
  });

  it('never lets two arcs cross, around the whole circle', () => {
    fc.assert(
      fc.property(fc.array(chordArbitrary, { minLength: 2, maxLength: 40 }), (chords) => {
        const arcs = parseArcs(inputFrom(chords));
        const count = chords.length;
        for (let a = 0; a < count; a += 1) {
          const lengthA = arcs[a] === -1 ? 0 : reach(a, arcs[a] ?? 0, count);
          for (let inside = 1; inside < lengthA; inside += 1) {
            const b = (a + inside) % count;
            expect(arcs[b]).not.toBe(-1);
            expect(inside + reach(b, arcs[b] ?? 0, count)).toBeLessThanOrEqual(lengthA);
          }
        }
      }),
      { numRuns: 300 },
    );
  });

  it('leads every chord onwards, never to itself', () => {
    fc.assert(
      fc.property(fc.array(chordArbitrary, { minLength: 2, maxLength: 40 }), (chords) => {
        const arcs = parseArcs(inputFrom(chords));
        for (const [run, goal] of arcs.entries()) expect(goal).not.toBe(run);
        expect(arcs).toContain(-1);
      }),
    );
  });

  it('moves with the key: the same progression a semitone higher has the same arcs', () => {
    fc.assert(
      fc.property(
        fc.array(chordArbitrary, { minLength: 2, maxLength: 16 }),
        fc.integer({ min: 1, max: 11 }),
        (chords, up) => {
          const higher = inputFrom(chords.map(([root, kind]) => [(root + up) % 12, kind]));
          higher.keys.fill(up * 2);
          const moved = parseArcs({ ...higher, home: up * 2 });
          expect(moved).toEqual(parseArcs(inputFrom(chords)));
        },
      ),
    );
  });

  it('attaches a dominant over an inserted two-five to the five it serves', () => {
    // Ab7 (Dm7) G7 C: the left chord prepares the head of what follows, as in Rohrmeier (2020).
    const arcs = parseArcs(
      inputFrom([
        [8, CLASS.dom],
        [2, CLASS.min7],
        [7, CLASS.dom],
        [0, CLASS.maj7],
      ]),
    );
    expect([...arcs]).toEqual([2, 2, 3, -1]);
  });
});
