import type { Chord } from '../chord/model.ts';
import { chromaOf, type Spelled } from '../pitch/spelled.ts';
import { lastStartingBy } from '../time/halving.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';

/** One place where the bass plays, and what stands there. */
export interface BassSlot {
  readonly start: Ticks;
  readonly length: Ticks;
  readonly chord: Chord;
  /** The chord begins here (or is restated at a bar line). */
  readonly arrives: boolean;
  /** Chord of the next slot when it is another one: this slot is the approach. */
  readonly next: Chord | null;
  /** Strong beat: a chord tone is wanted. 0 is always among the strong beats of a bar. */
  readonly strong: boolean;
  /** The note stands for half a bar or so (two-feel): long enough that only a tone of the chord will do. */
  readonly held: boolean;
  /** Which of the good lines to take here, 0-4: it follows from the bar's place, so that bars differ. */
  readonly variety: number;
}

/** How the bass marks time over a stretch. */
export type BassManner = 'walk' | 'two-feel' | 'pedal' | 'roots';

/** A bar as the bass needs it. */
export interface BassBar {
  readonly start: Ticks;
  readonly length: Ticks;
  readonly beat: Ticks;
  /** Beats from the bar's start that carry weight, in order: [0, 2] in 4/4. */
  readonly strong: readonly number[];
  readonly manner: BassManner;
}

/**
 * Cuts bars and changes into slots: a beat each when walking, the strong beats in a two-feel, the changes
 * alone for roots, a note a bar for pedals. Silence (N.C.) has no slots. A change inside a beat starts a slot of its own.
 */
export function bassSlots(bars: readonly BassBar[], harmony: readonly TimedHarmony[]): BassSlot[] {
  const cuts = overPedals(bars.flatMap((bar, index) => slotsOfBar(bar, harmony, varietyOf(index))));
  return cuts.map((slot, index) => {
    const previous = cuts[index - 1];
    const following = cuts[index + 1];
    const moves =
      following !== undefined &&
      following.start === slot.end &&
      !sameGround(following.chord, slot.chord);
    const enters = previous?.end !== slot.start;
    const changes = slot.changed && (!previous || isAnother(previous.chord, slot.chord));
    const arrives = slot.pedal || enters || changes;
    return {
      start: slot.start,
      length: slot.end - slot.start,
      chord: slot.chord,
      arrives,
      next: moves && !arrives ? following.chord : null,
      strong: slot.strong,
      held: slot.held,
      variety: slot.variety,
    };
  });
}

interface Cut {
  readonly start: Ticks;
  readonly end: Ticks;
  readonly chord: Chord;
  /** A chord is written here. */
  readonly changed: boolean;
  readonly strong: boolean;
  readonly held: boolean;
  readonly variety: number;
  /** The bass holds its note here, whatever the chords do. */
  readonly pedal: boolean;
}

/**
 * Chords of a pedal stretch over the one note it holds: the bass of the chord it begins on. A stretch ends
 * where another manner, another player's turn or a silence comes between.
 */
function overPedals(cuts: readonly Cut[]): Cut[] {
  let held: Spelled | null = null;
  let until: Ticks | null = null;
  return cuts.map((cut) => {
    const goes = cut.pedal && held !== null && until === cut.start;
    const ground: Spelled = goes && held !== null ? held : (cut.chord.bass ?? cut.chord.root);
    held = cut.pedal ? ground : null;
    until = cut.end;
    return cut.pedal ? { ...cut, chord: { ...cut.chord, bass: ground } } : cut;
  });
}

/** A bar's variety: neighbours differ, and so does the same bar of the next chorus. */
function varietyOf(index: number): number {
  return (index + (index >> 2)) % 5;
}

function slotsOfBar(bar: BassBar, harmony: readonly TimedHarmony[], variety: number): Cut[] {
  const end = bar.start + bar.length;
  let event = lastStartingBy(harmony, bar.start);
  const starts = startsIn(bar, harmony, event);
  const found: Cut[] = [];
  starts.forEach((start, index) => {
    while ((harmony[event + 1]?.start ?? Number.POSITIVE_INFINITY) <= start) event++;
    const here = harmony[event];
    if (here?.harmony.kind !== 'chord' || here.start > start) return;
    const strong = bar.strong.includes((start - bar.start) / bar.beat);
    found.push({
      start,
      end: starts[index + 1] ?? end,
      chord: here.harmony,
      changed: here.start === start,
      strong,
      held: bar.manner === 'two-feel' && (starts[index + 1] ?? end) - start > bar.beat,
      variety,
      pedal: bar.manner === 'pedal',
    });
  });
  return found;
}

/** Where the bass strikes in a bar, in order: what its manner asks for and every change from the one at `first` on. */
function startsIn(bar: BassBar, harmony: readonly TimedHarmony[], first: number): Ticks[] {
  const end = bar.start + bar.length;
  const starts = mannerStarts(bar);
  for (let index = first; (harmony[index]?.start ?? end) < end; index++) {
    const at = harmony[index]?.start ?? end;
    if (at <= bar.start || starts.includes(at)) continue;
    const silence = [index - 1, index].some((near) => harmony[near]?.harmony.kind === 'none');
    if (bar.manner === 'pedal' && !silence) continue;
    const later = starts.findIndex((start) => start > at);
    starts.splice(later < 0 ? starts.length : later, 0, at);
  }
  return starts;
}

/** The bar line, and every beat when walking or the strong ones in a two-feel. */
function mannerStarts(bar: BassBar): Ticks[] {
  const end = bar.start + bar.length;
  const starts: Ticks[] = [bar.start];
  if (bar.manner === 'walk')
    for (let at = bar.start + bar.beat; at < end; at += bar.beat) starts.push(at);
  if (bar.manner === 'two-feel') {
    for (const beat of bar.strong) {
      const at = bar.start + beat * bar.beat;
      if (at > bar.start && at < end) starts.push(at);
    }
  }
  return starts;
}

/** Another chord than the one before, though it may stand on the same bass. */
function isAnother(a: Chord, b: Chord): boolean {
  return a.root !== b.root || a.quality !== b.quality || !sameGround(a, b);
}

function sameGround(a: Chord, b: Chord): boolean {
  return chromaOf(a.bass ?? a.root) === chromaOf(b.bass ?? b.root);
}
