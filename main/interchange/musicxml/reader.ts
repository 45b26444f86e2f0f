import type { Interval } from '../../../shared-core/pitch/interval.ts';
import { type Meter, TICKS_PER_QUARTER, type Ticks } from '../../../shared-core/time/meter.ts';
import type { DraftBar, Warnings } from '../draft.ts';

/** What is known of a part while it is read. */
export interface Reader {
  readonly warnings: Warnings;
  readonly bars: DraftBar[];
  meter: Meter;
  divisions: number;
  toConcert: Interval;
  harmonies: number;
  pitchedNotes: number;
  fifths: number | null;
  mode: string;
  keyChanges: number;
  quarters: number | null;
  words: string | null;
  /** Voice that carries the melody on the first staff: the first one with notes. */
  voice: string | null;
  graces: number;
  /** Bars that a simile sign repeats, 0 for none. */
  simile: number;
  readonly tied: Map<number, { bar: DraftBar; index: number }>;
}

/** State within one measure; places in divisions of the quarter. */
export interface Measure {
  readonly bar: DraftBar;
  readonly number: number;
  cursor: number;
  furthest: number;
  chordStart: number;
  harmonySigns: number;
}

/** Ticks of a place in divisions, to the nearest tick. */
export function ticksAt(reader: Reader, place: number): Ticks {
  return Math.round((place * TICKS_PER_QUARTER) / reader.divisions);
}

/** Moves on by a duration in divisions. */
export function advance(measure: Measure, duration: number): void {
  measure.cursor += Math.max(0, duration);
  measure.furthest = Math.max(measure.furthest, measure.cursor);
}
