import type { Chord } from '../chord/model.ts';
import { plainly } from '../pitch/copyist.ts';
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
import { type Column, cheapestLine } from './search.ts';
import type { BassSlot } from './slots.ts';

export { type BassBar, type BassManner, type BassSlot, bassSlots } from './slots.ts';

/** A note of a bass line, sounding pitch. */
export interface BassNote {
  readonly start: Ticks;
  readonly length: Ticks;
  readonly pitch: Pitch;
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
  /** A held note that is not the fifth: its root again says less, and another tone less than that. */
  heldRoot: 0.5,
  heldTone: 0.6,
  /** Less where it leads to the next chord by a step. */
  heldLeading: 0.3,
  /** Semitone away from the middle of the compass. */
  register: 0.05,
  /** What makes one chorus' line differ from another's: less than any rule. */
  whim: 0.8,
} as const;

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
 *
 * @param lowest lowest sounding note there is, MIDI: a fifth string goes below {@link BASS_LOW}
 */
export function walkingLine(slots: readonly BassSlot[], lowest: number = BASS_LOW): BassNote[] {
  if (slots.length === 0) return [];
  const memo: Memo = new Map();
  const columns = slots.map((slot) => columnFor(slot, memo, lowest));
  const choice = cheapestLine(
    columns,
    slots.map(({ arrives }) => arrives),
  );
  return slots.map((slot, at) => {
    const index = choice[at] ?? 0;
    const column = columns[at];
    const midi = column?.midi[index] ?? BASS_LOW;
    return {
      start: slot.start,
      length: slot.length,
      pitch: pitchAt(midi, column?.pc[index] ?? slot.chord.root),
    };
  });
}

/** Columns worked out so far: by chord and next chord, then by what else is asked of the slot. */
type Memo = Map<Chord, Map<Chord | null, Column[]>>;

/** A tune comes to the same few chords chorus after chorus, so each column is worked out once. */
function columnFor(slot: BassSlot, memo: Memo, lowest: number): Column {
  const { chord, next, arrives, strong, held, variety } = slot;
  let ofChord = memo.get(chord);
  if (!ofChord) {
    ofChord = new Map();
    memo.set(chord, ofChord);
  }
  let columns = ofChord.get(next);
  if (!columns) {
    columns = [];
    ofChord.set(next, columns);
  }
  const asked = variety * 8 + (held ? 4 : 0) + (arrives ? 2 : 0) + (strong ? 1 : 0);
  let column = columns[asked];
  if (!column) {
    column = columnOf(slot, lowest);
    columns[asked] = column;
  }
  return column;
}

function columnOf(slot: BassSlot, lowest: number): Column {
  const middle = (lowest + BASS_HIGH) / 2;
  const midi: number[] = [];
  const pc: Spelled[] = [];
  const cost: number[] = [];
  for (let note = lowest; note <= BASS_HIGH; note++) {
    const judged = judge(slot, modulo(note, 12));
    if (!judged) continue;
    midi.push(note);
    pc.push(judged.pc);
    cost.push(judged.cost + Math.abs(note - middle) * COST.register + whim(slot.variety, note));
  }
  return { midi, pc, cost };
}

/** What a variety of line holds against a note: small enough that every rule above stays in force. */
function whim(variety: number, note: number): number {
  return variety === 0 ? 0 : (modulo(note * 7 + variety * 5, 11) / 10) * COST.whim;
}

function judge(slot: BassSlot, chroma: Chroma): { pc: Spelled; cost: number } | null {
  const { chord } = slot;
  const ground = chord.bass ?? chord.root;
  if (slot.arrives) return chroma === chromaOf(ground) ? { pc: ground, cost: 0 } : null;
  const tone = chordTone(chord, chroma);
  if (slot.held) return tone === null ? null : { pc: tone, cost: heldCost(slot, tone) };
  if (slot.next) return approach(slot, slot.next, chroma);
  if (tone !== null)
    return { pc: tone, cost: slot.strong && tone !== ground ? COST.downbeatNotRoot : 0 };
  const above = modulo(chroma - chromaOf(chord.root), 12);
  if (!(SCALES[chord.quality.family] ?? []).includes(above)) return null;
  const pc = plainly(chord.root + (SCALE_FIFTHS[above] ?? 0));
  return { pc, cost: slot.strong ? COST.offChord : COST.passing };
}

/** The second note of a two-feel: the fifth, or another tone that leads on. */
function heldCost({ chord, next }: BassSlot, tone: Spelled): number {
  const degree = chord.quality.degrees[chord.quality.fifths.indexOf(tone - chord.root)];
  if (degree?.number === 5) return 0;
  const target = next && modulo(chromaOf(tone) - chromaOf(next.bass ?? next.root), 12);
  const leads = target !== null && [1, 2, 10, 11].includes(target) ? COST.heldLeading : 0;
  return (tone === (chord.bass ?? chord.root) ? COST.heldRoot : COST.heldTone) - leads;
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

/** Spelling of a pitch class as a tone of the chord; null when it is none. */
function chordTone(chord: Chord, chroma: Chroma): Spelled | null {
  if (chord.bass !== null && chromaOf(chord.bass) === chroma) return chord.bass;
  for (const fifths of chord.quality.fifths) {
    if (chromaOf(chord.root + fifths) === chroma) return chord.root + fifths;
  }
  return null;
}

/** Sounding compass of a line as MIDI numbers; null for an empty line. */
export function compassOf(notes: readonly BassNote[]): { low: number; high: number } | null {
  if (notes.length === 0) return null;
  const midi = notes.map((note) => midiOf(note.pitch));
  return { low: Math.min(...midi), high: Math.max(...midi) };
}
