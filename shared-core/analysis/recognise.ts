import type { Harmony } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import type { ChordReading, Recogniser, Recognition } from './model.ts';
import type { Runs } from './runs.ts';
import { ARC, RECOGNITION_COST } from './weights.ts';

/** What the devices see in the written changes, before the grammar has chosen. */
export interface Recognised {
  /** All readings of a chord that are not too dear, cheapest first. */
  at(chord: number): readonly Recognition[];
  /**
   * All readings of a chord once what lies between it and its goal is taken away: the devices look at
   * neighbours, and the chords between belong to the goal.
   */
  acrossTo(chord: number, goal: number): readonly Recognition[];
  /** What the readings add to the arc between two runs; see `rules.ts`. */
  gains(runs: Runs): (from: number, to: number) => number;
}

const NOTHING: readonly Recognition[] = [];

/** Asks every device about every chord. */
export function recogniseAll(
  base: readonly ChordReading[],
  recognisers: readonly Recogniser[],
): Recognised {
  const found = recogniseEach(base, recognisers);
  return {
    at: (chord) => found[chord] ?? NOTHING,
    acrossTo: (chord, goal) => readingsAcross(base, chord, goal, recognisers),
    gains: (runs) => gainsOf(found, runs),
  };
}

/** A chord struck again is read like the last time it is struck: from there it goes on. */
function recogniseEach(
  base: readonly ChordReading[],
  recognisers: readonly Recogniser[],
): (readonly Recognition[])[] {
  const found: (readonly Recognition[])[] = base.map(() => NOTHING);
  for (let index = base.length - 1; index >= 0; index -= 1) {
    found[index] = sameHarmony(base[index]?.harmony, base[index + 1]?.harmony)
      ? (found[index + 1] ?? NOTHING).map((reading) => ({ ...reading, chord: index }))
      : readingsOf(base, index, recognisers);
  }
  return found;
}

function sameHarmony(a: Harmony | undefined, b: Harmony | undefined): boolean {
  return a?.kind === 'chord' && b?.kind === 'chord' && sameChord(a, b);
}

/** Chords kept on either side of the cut. */
const CONTEXT = 3;

function readingsAcross(
  base: readonly ChordReading[],
  chord: number,
  goal: number,
  recognisers: readonly Recogniser[],
): readonly Recognition[] {
  const before = base.slice(Math.max(0, chord - CONTEXT), chord + 1);
  const skeleton = [...before, ...base.slice(goal, goal + CONTEXT + 1)];
  return readingsOf(skeleton, before.length - 1, recognisers).flatMap((reading) => {
    const prepares = reading.prepares === null ? null : (skeleton[reading.prepares]?.index ?? null);
    return prepares === null ? [] : [{ ...reading, chord, prepares }];
  });
}

function readingsOf(
  base: readonly ChordReading[],
  index: number,
  recognisers: readonly Recogniser[],
): readonly Recognition[] {
  if (base[index]?.harmony.kind !== 'chord') return NOTHING;
  const list: Recognition[] = [];
  for (const recogniser of recognisers) {
    const reading = recogniser.recognise(base, index);
    if (reading !== null && reading.cost <= RECOGNITION_COST.ceiling) list.push(reading);
  }
  return list.sort((a, b) => a.cost - b.cost);
}

function gainsOf(
  found: readonly (readonly Recognition[])[],
  runs: Runs,
): (from: number, to: number) => number {
  const gains = new Map<number, number>();
  const leads = new Uint8Array(runs.count);
  found.forEach((readings, chord) => {
    for (const { prepares, cost } of readings) {
      if (prepares === null) continue;
      const run = runs.runOf[chord] ?? 0;
      const at = run * runs.count + (runs.runOf[prepares] ?? 0);
      leads[run] = 1;
      gains.set(at, Math.max(gains.get(at) ?? 0, ARC.recognised - cost));
    }
  });
  return (from, to) => (leads[from] === 1 ? (gains.get(from * runs.count + to) ?? 0) : 0);
}
