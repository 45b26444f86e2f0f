import type { Chord } from '../chord/model.ts';
import { guideTones, notesOf } from '../chord/tones.ts';
import type { Compass } from '../line/guide.ts';
import { chromaOf, modulo, type Spelled } from '../pitch/spelled.ts';

/** A chord to be told by one player, in parts of a beat. */
export interface FigureSlot {
  readonly chord: Chord;
  /** Parts there are to play in, 1 or more. */
  readonly parts: number;
  /** Parts of a beat: a note at a multiple of it stands on a beat. */
  readonly beat: number;
  /** A tone to begin with if the chord has it: what tells it from the chord it is laid over, or where it comes home. */
  readonly wish: Spelled | null;
  /** One note is enough: everybody plays this chord. */
  readonly plain: boolean;
  /** A fixed number of this place; what varies takes it instead of chance. */
  readonly place: number;
}

/** Notes of one slot: the part each is struck at, and its MIDI note. */
export interface Figure {
  readonly at: readonly number[];
  readonly midi: readonly number[];
}

/** Tones a figure is made of: enough to tell one chord from another. */
const TONES = 4;

/**
 * Orders of four tones, 0 the lowest, and how each goes on: up, down, a leap and back the other way, a turn.
 * The first four notes are four tones, so that the chord is told before the figure turns.
 */
const SHAPES: readonly (readonly number[])[] = [
  [0, 1, 2, 3, 2, 1],
  [3, 2, 1, 0, 1, 2],
  [0, 3, 2, 1, 2, 3],
  [3, 0, 1, 2, 1, 0],
  [1, 0, 2, 3, 2, 1],
  [2, 3, 1, 0, 1, 2],
];

/** Where a figure of a bar or so is struck: it begins on the beat or after a rest, and leaves room behind it. */
const RHYTHMS: readonly (readonly number[])[] = [
  [0, 1, 2, 3],
  [1, 2, 3, 4, 6],
  [0, 2, 3, 4],
  [0, 1, 2, 3, 4, 6],
  [2, 3, 4, 5],
  [0, 1, 3, 4, 5],
];

/** Costs of the search, lower is better. */
const COST = {
  /** Same note again at the join; a third; a semitone of any wider leap. */
  repeated: 1.2,
  third: 0.8,
  leap: 0.5,
  /** The shape of the figure before, or its direction. */
  sameShape: 3,
  sameWay: 1.2,
  /** The wished tone is not the first note; it is not even on a beat. */
  wishLater: 1.5,
  wishOffBeat: 2.5,
  /** Nothing is wished, and the first note is neither third nor seventh. */
  noGuide: 0.8,
  /** Semitone of the first note from the middle of the compass. */
  register: 0.06,
  /** What makes places differ that are alike otherwise. */
  whim: 0.4,
} as const;

interface Candidate extends Figure {
  readonly shape: number;
  /** 1 when it sets out upwards, -1 downwards, 0 for a single note. */
  readonly way: number;
  readonly cost: number;
}

/**
 * Figures of broken chords, one a slot, that make one line: each spells its chord plainly, begins on the tone
 * that tells where it can, joins the next by step, and goes another way than the one before. Exact by dynamic
 * programming over shapes, inversions and octaves; the same slots give the same line. Common practice, no
 * source; composed for this program.
 *
 * @param before note that sounds before the first slot, MIDI; null for none
 * @param after note that sounds after the last slot
 */
export function figureLine(
  slots: readonly FigureSlot[],
  compass: Compass,
  before: number | null,
  after: number | null,
): Figure[] {
  const rhythms = rhythmsOf(slots);
  const columns = slots.map((slot, index) => candidates(slot, rhythms[index] ?? [0], compass));
  const totals: number[][] = [];
  const from: number[][] = [];
  columns.forEach((column, index) => {
    const earlier = columns[index - 1];
    const ways = column.map((figure) => {
      if (!earlier) return { cost: joinCost(before, figure.midi[0]), at: -1 };
      let best = { cost: Number.POSITIVE_INFINITY, at: 0 };
      earlier.forEach((previous, at) => {
        const cost = (totals[index - 1]?.[at] ?? 0) + passCost(previous, figure);
        if (cost < best.cost) best = { cost, at };
      });
      return best;
    });
    const isLast = index === columns.length - 1;
    totals.push(
      ways.map(({ cost }, at) => {
        const figure = column[at] as Candidate;
        return cost + figure.cost + (isLast ? joinCost(figure.midi.at(-1) ?? null, after) : 0);
      }),
    );
    from.push(ways.map(({ at }) => at));
  });
  return traceBack(columns, totals, from);
}

function traceBack(
  columns: readonly (readonly Candidate[])[],
  totals: readonly (readonly number[])[],
  from: readonly (readonly number[])[],
): Figure[] {
  const last = totals.at(-1);
  if (!last) return [];
  const line: Figure[] = [];
  let index = last.indexOf(Math.min(...last));
  for (let at = columns.length - 1; at >= 0; at--) {
    const figure = columns[at]?.[index];
    if (figure) line.push({ at: figure.at, midi: figure.midi });
    index = from[at]?.[index] ?? 0;
  }
  return line.reverse();
}

function passCost(before: Candidate, figure: Candidate): number {
  const joined = joinCost(before.midi.at(-1) ?? null, figure.midi[0]);
  if (figure.way === 0 || before.way === 0) return joined;
  const shape = before.shape === figure.shape ? COST.sameShape : 0;
  return joined + shape + (before.way === figure.way ? COST.sameWay : 0);
}

function joinCost(from: number | null, to: number | null | undefined): number {
  if (from === null || to === null || to === undefined) return 0;
  const size = Math.abs(to - from);
  if (size === 0) return COST.repeated;
  if (size <= 2) return 0;
  return size <= 4 ? COST.third : size * COST.leap;
}

/** Every figure a slot could have inside the compass. */
function candidates(slot: FigureSlot, at: readonly number[], compass: Compass): Candidate[] {
  const tones = slot.plain ? plainTones(slot) : tonesOf(slot);
  const shapes = at.length < 2 ? [[0]] : SHAPES.map((shape) => shape.slice(0, at.length));
  const found: Candidate[] = [];
  for (let lowest = compass.low; lowest <= compass.high; lowest++) {
    const stack = stackFrom(tones, lowest);
    if (!stack) continue;
    shapes.forEach((order, shape) => {
      const midi = order.map((step) => stack[step] ?? lowest);
      if (Math.max(...midi) > compass.high) return;
      const way = Math.sign((midi[1] ?? lowest) - (midi[0] ?? lowest));
      found.push({ at, midi, shape, way, cost: ownCost(slot, at, midi, shape, compass) });
    });
  }
  return found;
}

/** Chord tones upwards from a note that is one of them; null where it is none. */
function stackFrom(tones: readonly number[], lowest: number): number[] | null {
  const first = tones.indexOf(modulo(lowest, 12));
  if (first < 0) return null;
  const stack = [lowest];
  for (let step = 1; step < TONES; step++) {
    const before = stack[step - 1] ?? lowest;
    const tone = tones[modulo(first + step, tones.length)] ?? before;
    stack.push(before + (modulo(tone - before, 12) || 12));
  }
  return stack;
}

function ownCost(
  slot: FigureSlot,
  at: readonly number[],
  midi: readonly number[],
  shape: number,
  compass: Compass,
): number {
  const first = midi[0] ?? 0;
  const register = Math.abs(first - (compass.low + compass.high) / 2) * COST.register;
  const whim = (modulo(shape * 5 + slot.place, SHAPES.length) / SHAPES.length) * COST.whim;
  return register + whim + firstCost(slot, at, midi);
}

function firstCost(slot: FigureSlot, at: readonly number[], midi: readonly number[]): number {
  const { chord, wish } = slot;
  if (wish === null || !sounds(chord, wish)) {
    const guides = guideTones(chord).map(chromaOf);
    return guides.includes(modulo(midi[0] ?? 0, 12)) ? 0 : COST.noGuide;
  }
  const place = midi.findIndex((note) => modulo(note, 12) === chromaOf(wish));
  if (place === 0) return 0;
  const onBeat = place > 0 && (at[place] ?? 1) % slot.beat === 0;
  return onBeat ? COST.wishLater : COST.wishOffBeat;
}

/** The parts at which the notes of each slot are struck; the long ones take another rhythm than the last. */
function rhythmsOf(slots: readonly FigureSlot[]): (readonly number[])[] {
  let last: readonly number[] | undefined;
  return slots.map(({ parts, plain, place }) => {
    if (plain) return [0];
    if (parts <= TONES) return Array.from({ length: parts }, (_, part) => part);
    const fresh = RHYTHMS.filter((rhythm) => (rhythm.at(-1) ?? 0) < parts - 1 && rhythm !== last);
    last = fresh[modulo(place, fresh.length)] ?? [0, 1, 2, 3];
    return last;
  });
}

/** Pitch classes of a chord upwards; one of five tones or more goes without its root, then without its fifth. */
function tonesOf({ chord, wish }: FigureSlot): number[] {
  const { root, quality } = chord;
  let kept = quality.fifths.map((up) => root + up);
  for (const dull of [root, root + 1]) {
    const wished = wish !== null && chromaOf(wish) === chromaOf(dull);
    if (kept.length > TONES && !wished) kept = kept.filter((tone) => tone !== dull);
  }
  return kept.map(chromaOf).sort((a, b) => a - b);
}

/** A chord that everybody plays is told by one note: the wished one, or a third or seventh. */
function plainTones({ chord, wish }: FigureSlot): number[] {
  if (wish !== null && sounds(chord, wish)) return [chromaOf(wish)];
  return guideTones(chord).map(chromaOf);
}

/** Whether a chord has a tone, under whatever name. */
function sounds(chord: Chord, tone: Spelled): boolean {
  return notesOf(chord).some((pc) => chromaOf(pc) === chromaOf(tone));
}
