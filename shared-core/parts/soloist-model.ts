import type { LineNote } from '../line/guide.ts';
import type { Pitch, Spelled } from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';

/** Notes of a rewrite worth pointing at, in written pitch, with the time they belong to. */
export interface Telling {
  /** Ticks from the first chorus' start. */
  readonly start: Ticks;
  readonly length: Ticks;
  readonly tells: Spelled | null;
  readonly home: Spelled | null;
}

/** A line to be played over a stretch of a chorus: chorus ticks, in the 0-based chorus it is played in. */
export interface SoloLine {
  readonly chorus: number;
  readonly start: Ticks;
  readonly length: Ticks;
  readonly notes: readonly LineNote[];
}

/** What the soloist's staff is written from. Everything in written pitch. */
export interface SoloistInput {
  /** The plain chorus: its guide-tone line is the thread every chorus comes back to. */
  readonly chorus: readonly TimedHarmony[];
  readonly low: Pitch;
  readonly high: Pitch;
  readonly tellings: readonly Telling[];
  /** Melody of the chorus, ticks from its start; empty for none. */
  readonly melody: readonly LineNote[];
  /** Lines kept for this chair. */
  readonly lines: readonly SoloLine[];
  /** 0-based choruses that play the melody. */
  readonly heads: ReadonlySet<number>;
  /** Whether the soloist plays something else than the band at a moment (ticks from the first chorus' start). */
  readonly over: (at: Ticks) => boolean;
  /** Whether plain bars show the guide-tone line; slashes otherwise. */
  readonly guideTones: boolean;
}
