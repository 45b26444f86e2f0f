import type { Key } from '../pitch/key.ts';
import type { Meter, Ticks } from '../time/meter.ts';

/** One sounding note on the performance timeline (count-in included), swing already applied. */
export interface PerformedNote {
  readonly start: Ticks;
  /** Over 0. */
  readonly length: Ticks;
  readonly midi: number;
  /** 1-127. */
  readonly velocity: number;
}

/** One chair's track. */
export interface PerformedTrack {
  readonly chair: string;
  readonly name: string;
  /** MIDI channel 0-15; drums on 9. */
  readonly channel: number;
  /** General MIDI program 0-127; null on the drum channel. */
  readonly program: number | null;
  readonly notes: readonly PerformedNote[];
}

/** Everything a sequencer or a sound engine needs. Times are whole ticks from the first count-in click. */
export interface Performance {
  readonly title: string;
  /** Quarter notes a minute (converted from the counted beat). */
  readonly quarterBpm: number;
  /** Where the meter changes, and again after every bar that is shorter than its meter: there bars are counted anew. */
  readonly meters: readonly { readonly at: Ticks; readonly meter: Meter }[];
  readonly keys: readonly { readonly at: Ticks; readonly key: Key }[];
  /** Plain ASCII. */
  readonly markers: readonly { readonly at: Ticks; readonly text: string }[];
  /** What the band plays, as plain ASCII symbols at the places they are written on: swing moves none of them. */
  readonly chords: readonly { readonly at: Ticks; readonly text: string }[];
  readonly countIn: Ticks;
  readonly length: Ticks;
  readonly tracks: readonly PerformedTrack[];
}
