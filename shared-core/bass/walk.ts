import type { Chord } from '../chord/model.ts';
import {
  type Chroma,
  chromaOf,
  midiOf,
  modulo,
  type Pitch,
  pitchAt,
  type Spelled,
} from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';

/** A note of a bass line, sounding pitch. */
export interface BassNote {
  readonly start: Ticks;
  readonly length: Ticks;
  readonly pitch: Pitch;
}

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
}

/** Lowest and highest sounding note used: E1 to G3, an upright bass' comfortable compass (common practice, no source). */
export const BASS_LOW = 28;
export const BASS_HIGH = 55;

/** Costs of the search, lower is better, each with its reason. */
const COST = {
  /** A held chord is best restated by its root on the bar line, though a third or fifth keeps the line alive. */
  downbeatNotRoot: 0.7,
  /** On a strong beat inside a chord a chord tone is wanted. */
  offChord: 3,
  /** A weak beat may pass through the scale. */
  passing: 0.3,
  /** The note before a change leads in by semitone best, then by tone, then from the fifth. */
  approachAbove: 0.2,
  approachTone: 0.8,
  approachFifth: 1.4,
  approachElse: 4,
  /** Standing still: twice on one note, worse when no chord arrives. */
  still: 4,
  restated: 0.6,
  /** A step is free; a skip costs this much a semitone beyond a tone. */
  skip: 0.3,
  /** Turning round: a line that keeps its direction goes somewhere. */
  turn: 0.7,
  /** Semitone away from the middle of the compass. */
  register: 0.05,
} as const;

/** No leap over an octave. */
const WIDEST = 12;

/** Semitones above the root that walk well through a chord: its scale in rough, by family. */
const SCALES: Readonly<Record<string, readonly number[]>> = {
  major: [0, 2, 4, 7, 9, 11],
  minor: [0, 2, 3, 5, 7, 9, 10],
  dominant: [0, 2, 4, 5, 7, 9, 10],
  'half-diminished': [0, 3, 5, 6, 8, 10],
  diminished: [0, 2, 3, 5, 6, 8, 9, 11],
  augmented: [0, 2, 4, 6, 8, 10],
  suspended: [0, 2, 5, 7, 9, 10],
  power: [0, 2, 5, 7],
};

/** Spelling above the root of each semitone, when a chord does not spell it itself: as a major or minor scale would. */
const SCALE_FIFTHS: readonly number[] = [0, -5, 2, -3, 4, -1, 6, 1, -4, 3, -2, 5];

/**
 * A bass line through given slots: root where a chord arrives, chord tones on strong beats, steps between,
 * and an approach on the last beat before a change; no leap over an octave. Dynamic programming over the
 * notes of the compass, so the whole line is the best one and not a run of local choices. Deterministic.
 *
 * Rules: common practice, no source; compass and costs stand above.
 */
export function walkingLine(slots: readonly BassSlot[]): BassNote[] {
  if (slots.length === 0) return [];
  const memo = new Map<string, Column>();
  const columns = slots.map((slot) => columnFor(slot, memo));
  const search = new Search(columns, slots);
  return slots.map((slot, at) => {
    const index = search.choice[at] ?? 0;
    const column = columns[at];
    const midi = column?.midi[index] ?? BASS_LOW;
    return {
      start: slot.start,
      length: slot.length,
      pitch: pitchAt(midi, column?.pc[index] ?? slot.chord.root),
    };
  });
}

/** The notes that may stand in one slot, low to high. */
interface Column {
  readonly midi: readonly number[];
  readonly pc: readonly Spelled[];
  readonly cost: readonly number[];
}

function columnFor(slot: BassSlot, memo: Map<string, Column>): Column {
  const { chord, next, arrives, strong } = slot;
  const ground = chord.bass ?? chord.root;
  const key = `${chord.root}.${chord.quality.mask}.${ground}.${next ? (next.bass ?? next.root) : ''}.${arrives}.${strong}`;
  let column = memo.get(key);
  if (!column) {
    column = columnOf(slot);
    memo.set(key, column);
  }
  return column;
}

function columnOf(slot: BassSlot): Column {
  const middle = (BASS_LOW + BASS_HIGH) / 2;
  const midi: number[] = [];
  const pc: Spelled[] = [];
  const cost: number[] = [];
  for (let note = BASS_LOW; note <= BASS_HIGH; note++) {
    const judged = judge(slot, modulo(note, 12));
    if (!judged) continue;
    midi.push(note);
    pc.push(judged.pc);
    cost.push(judged.cost + Math.abs(note - middle) * COST.register);
  }
  return { midi, pc, cost };
}

function judge(slot: BassSlot, chroma: Chroma): { pc: Spelled; cost: number } | null {
  const { chord } = slot;
  const ground = chord.bass ?? chord.root;
  if (slot.arrives) return chroma === chromaOf(ground) ? { pc: ground, cost: 0 } : null;
  if (slot.next) return approach(slot, slot.next, chroma);
  const tone = chordTone(chord, chroma);
  if (tone !== null)
    return { pc: tone, cost: slot.strong && tone !== ground ? COST.downbeatNotRoot : 0 };
  const above = modulo(chroma - chromaOf(chord.root), 12);
  if (!(SCALES[chord.quality.family] ?? []).includes(above)) return null;
  const pc = plainly(chord.root + (SCALE_FIFTHS[above] ?? 0));
  return { pc, cost: slot.strong ? COST.offChord : COST.passing };
}

function approach(
  slot: BassSlot,
  next: Chord,
  chroma: Chroma,
): { pc: Spelled; cost: number } | null {
  const target = next.bass ?? next.root;
  const up = modulo(chroma - chromaOf(target), 12);
  const tone = chordTone(slot.chord, chroma);
  if (up === 11) return { pc: tone ?? plainly(target + 5), cost: 0 };
  if (up === 1) return { pc: tone ?? plainly(target - 5), cost: COST.approachAbove };
  if (up === 2 || up === 10)
    return { pc: tone ?? plainly(target + (up === 2 ? 2 : -2)), cost: COST.approachTone };
  if (up === 7) return { pc: tone ?? plainly(target + 1), cost: COST.approachFifth };
  return tone === null ? null : { pc: tone, cost: COST.approachElse };
}

/** Passing notes are read at sight: no doubles, and no Fb, Cb, E# or B# outside the chords that own them. */
function plainly(pc: Spelled): Spelled {
  if (pc <= -7) return pc + 12;
  return pc >= 11 ? pc - 12 : pc;
}

/** Spelling of a pitch class as a tone of the chord; null when it is none. */
function chordTone(chord: Chord, chroma: Chroma): Spelled | null {
  if (chord.bass !== null && chromaOf(chord.bass) === chroma) return chord.bass;
  for (const fifths of chord.quality.fifths) {
    if (chromaOf(chord.root + fifths) === chroma) return chord.root + fifths;
  }
  return null;
}

/** State of the search: a note and whether the line came to it from below (1) or not (0). */
const WAYS = 2;

/**
 * Exact search for the cheapest line. A state is a note with the direction it was reached in, so that
 * turning round has a price; the table is kept flat because a long arrangement has thousands of slots.
 */
class Search {
  readonly choice: Int16Array;
  private readonly from: Int16Array[] = [];

  constructor(columns: readonly Column[], slots: readonly BassSlot[]) {
    let totals = Float64Array.from((columns[0]?.cost ?? []).flatMap((cost) => [cost, cost]));
    for (let at = 1; at < columns.length; at++) {
      const before = columns[at - 1];
      const column = columns[at];
      if (before && column)
        totals = this.extend(before, column, totals, slots[at]?.arrives ?? false);
    }
    this.choice = this.traceBack(columns.length, totals);
  }

  private extend(
    before: Column,
    column: Column,
    totals: Float64Array,
    arrives: boolean,
  ): Float64Array<ArrayBuffer> {
    const next = new Float64Array(column.midi.length * WAYS).fill(Number.POSITIVE_INFINITY);
    const from = new Int16Array(next.length);
    for (let index = 0; index < column.midi.length; index++) {
      const note = column.midi[index] ?? 0;
      const own = column.cost[index] ?? 0;
      for (let state = 0; state < totals.length; state++) {
        const leap = note - (before.midi[state >> 1] ?? 0);
        if (leap > WIDEST || leap < -WIDEST) continue;
        const up = leap > 0 ? 1 : leap < 0 ? 0 : state & 1;
        const size = leap < 0 ? -leap : leap;
        let cost = (totals[state] ?? 0) + own + (size > 2 ? (size - 2) * COST.skip : 0);
        if (size === 0) cost += arrives ? COST.restated : COST.still;
        else if (up !== (state & 1)) cost += COST.turn;
        const at = index * WAYS + up;
        if (cost < (next[at] ?? 0)) {
          next[at] = cost;
          from[at] = state;
        }
      }
    }
    this.from.push(from);
    return next;
  }

  private traceBack(length: number, totals: Float64Array): Int16Array {
    const choice = new Int16Array(length);
    let state = 0;
    totals.forEach((total, index) => {
      if (total < (totals[state] ?? 0)) state = index;
    });
    for (let at = length - 1; at >= 0; at--) {
      choice[at] = state >> 1;
      state = this.from[at - 1]?.[state] ?? 0;
    }
    return choice;
  }
}

/** How the bass marks time over a stretch. */
export type BassManner = 'walk' | 'two-feel' | 'pedal' | 'roots';

/** A bar as the bass needs it. */
export interface BassBar {
  readonly start: Ticks;
  readonly length: Ticks;
  readonly beat: Ticks;
  /** Beats from the bar's start that carry weight, 0 first: [0, 2] in 4/4. */
  readonly strong: readonly number[];
  readonly manner: BassManner;
}

/**
 * Cuts bars and changes into slots: a beat each when walking, the strong beats in a two-feel, the changes
 * alone for roots, a note a bar for pedals. Silence (N.C.) has no slots. A change inside a beat starts a slot of its own.
 */
export function bassSlots(bars: readonly BassBar[], harmony: readonly TimedHarmony[]): BassSlot[] {
  const cuts = overPedals(bars.flatMap((bar) => slotsOfBar(bar, harmony)));
  return cuts.map((slot, index) => {
    const previous = cuts[index - 1];
    const following = cuts[index + 1];
    const moves =
      following !== undefined &&
      following.start === slot.end &&
      !sameGround(following.chord, slot.chord);
    const enters = previous?.end !== slot.start;
    const changes = slot.changed && (!previous || !sameGround(previous.chord, slot.chord));
    const arrives = slot.pedal || enters || changes;
    return {
      start: slot.start,
      length: slot.end - slot.start,
      chord: slot.chord,
      arrives,
      next: moves && !arrives ? following.chord : null,
      strong: slot.strong,
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

function slotsOfBar(bar: BassBar, harmony: readonly TimedHarmony[]): Cut[] {
  const end = bar.start + bar.length;
  const first = indexAt(harmony, bar.start);
  const found: Cut[] = [];
  const starts = new Set<Ticks>([bar.start]);
  if (bar.manner === 'walk') for (let at = bar.start; at < end; at += bar.beat) starts.add(at);
  if (bar.manner === 'two-feel')
    for (const beat of bar.strong) starts.add(bar.start + beat * bar.beat);
  for (let index = first; (harmony[index]?.start ?? end) < end; index++) {
    const at = harmony[index]?.start ?? end;
    const silence = [index - 1, index].some((near) => harmony[near]?.harmony.kind === 'none');
    if (at > bar.start && (bar.manner !== 'pedal' || silence)) starts.add(at);
  }
  const inOrder = [...starts].filter((at) => at < end).sort((a, b) => a - b);
  let event = first;
  inOrder.forEach((start, index) => {
    while ((harmony[event + 1]?.start ?? Number.POSITIVE_INFINITY) <= start) event++;
    const here = harmony[event];
    if (here?.harmony.kind !== 'chord' || here.start > start) return;
    const strong = bar.strong.includes((start - bar.start) / bar.beat);
    found.push({
      start,
      end: inOrder[index + 1] ?? end,
      chord: here.harmony,
      changed: here.start === start,
      strong,
      pedal: bar.manner === 'pedal',
    });
  });
  return found;
}

/** Index of the event that sounds at a tick (binary search: the line is in order and without gaps). */
function indexAt(harmony: readonly TimedHarmony[], at: Ticks): number {
  let low = 0;
  let high = harmony.length - 1;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((harmony[middle]?.start ?? 0) <= at) low = middle;
    else high = middle - 1;
  }
  return low;
}

function sameGround(a: Chord, b: Chord): boolean {
  return chromaOf(a.bass ?? a.root) === chromaOf(b.bass ?? b.root);
}

/** Sounding compass of a line as MIDI numbers; null for an empty line. */
export function compassOf(notes: readonly BassNote[]): { low: number; high: number } | null {
  if (notes.length === 0) return null;
  const midi = notes.map((note) => midiOf(note.pitch));
  return { low: Math.min(...midi), high: Math.max(...midi) };
}
