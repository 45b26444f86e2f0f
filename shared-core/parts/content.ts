import type { Direction } from '../arrangement/model.ts';
import type { Ticks } from '../time/meter.ts';
import type { FormBar } from '../tune/model.ts';
import type { Voicing } from '../voicing/model.ts';
import type { PartCue, PartEvent, PartHarmony, PartMeasure } from './model.ts';
import type { Stretch } from './timeline.ts';

/**
 * What a chair reads in one bar of one chorus, before bars are folded. Two bars with the same `key` are
 * the same on paper but for cues and instructions, which can be told apart by chorus.
 */
export interface BarContent {
  readonly bar: FormBar;
  readonly band: Stretch;
  /** Null where the soloist plays what the band plays, and on charts that do not show it. */
  readonly solo: Stretch | null;
  readonly events: readonly PartEvent[];
  /** Whether the staff says no more than the symbols over it do, so that other symbols are another bar. */
  readonly implied: boolean;
  readonly cues: readonly PartCue[];
  readonly scales: PartMeasure['scales'];
  readonly directions: readonly BarDirection[];
  /** Advice, not part of what makes two bars alike. */
  readonly voicings: readonly { readonly at: Ticks; readonly voicing: Voicing }[];
  readonly key: string;
  /** In another player's chorus: `counted` (the bar is empty on this chart) or `shown` (the band's changes over a rest). */
  readonly other: 'counted' | 'shown' | null;
  /** In a counted chorus: what is heard in this bar, for a cue; null elsewhere. */
  readonly heard: HeardBar | null;
}

/** A bar somebody else plays: the band's changes, and the melody as this chair would read it, null for none. */
export interface HeardBar {
  readonly band: Stretch;
  readonly melody: readonly PartEvent[] | null;
}

/** An instruction as it falls in a bar. */
export interface BarDirection {
  readonly at: Ticks;
  readonly words: string;
  /** Whether it begins here (and is printed) or goes on from before. */
  readonly begins: boolean;
  /** Whether it goes with the changes of the bar, as who leads them does. */
  readonly lead: boolean;
  /** What the bar looks like under it, when every chorus of a block has it; null where it changes no notes. */
  readonly events: readonly PartEvent[] | null;
}

/** What the staff of a chair shows in one bar; made once a role. */
export interface StaffWriter {
  /** The bar as played without instructions. */
  events(place: BarPlace): readonly PartEvent[];
  /** What tells two bars apart, where `events` are advice that may differ between bars alike; default `events`. */
  plain?(place: BarPlace): readonly PartEvent[];
  /** Whether these events are what any player makes of the symbols of the bar; default no. */
  implied?(events: readonly PartEvent[], place: BarPlace): boolean;
  /** The bar under an instruction; null where it looks the same. */
  under(words: Direction['words'], place: BarPlace): readonly PartEvent[] | null;
}

/** A bar with what sounds in it, in written pitch. */
export interface BarPlace {
  readonly chorus: number;
  readonly bar: FormBar;
  /** Ticks from the first chorus' start. */
  readonly start: Ticks;
  readonly band: Stretch;
  /** What the soloist plays, also where it is what the band plays. */
  readonly solo: Stretch;
  readonly differs: boolean;
  /** Where the band brings the next bar's chord in early, ticks from the bar line; null where it does not. */
  readonly pushed: Ticks | null;
}

/** Harmonies of a stretch with their ends. */
export function withLengths(
  chords: readonly PartHarmony[],
  end: Ticks,
): readonly (PartHarmony & { readonly length: Ticks })[] {
  return chords.map((chord, index) => ({
    ...chord,
    length: (chords[index + 1]?.at ?? end) - chord.at,
  }));
}
