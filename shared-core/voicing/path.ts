import type { Chord } from '../chord/model.ts';
import { chromaOf, midiOf, modulo, type Spelled } from '../pitch/spelled.ts';
import { type GuitarSetup, guitarShapes, isStretch, STANDARD_GUITAR } from './guitar.ts';
import { guitarShapesOverBass } from './guitar-bass.ts';
import { mudOver } from './limits.ts';
import type { Voicing } from './model.ts';
import { pianoVoicings } from './piano.ts';

/** Who voices, and what the search should like. */
export interface PathOptions {
  readonly instrument: 'guitar' | 'piano';
  readonly guitar?: GuitarSetup;
  /** Whether a bass plays the roots; rootless shapes are then welcome. */
  readonly withBass: boolean;
  /** Kinds to keep to, such as `drop 2` or `shell`; absent takes any. A chord that has none of them takes any. */
  readonly kinds?: readonly string[];
  /** MIDI note wanted on top of each chord, by its place in the run: a melody to harmonise. Null: any. */
  readonly topLine?: readonly (number | null)[];
  /** MIDI note each chord stays under, by its place in the run: a melody somebody else plays. Null: none. */
  readonly below?: readonly (number | null)[];
}

/** Costs of the search, in semitones of annoyance. One table, each with its reason. */
const COST = {
  /** A voice that moves a semitone. */
  voice: 1,
  /** The ear follows the top note: it should go by step. */
  topLeap: 1.5,
  /** Fret of hand movement past the third (tests/reference/guitar.json, `move`). */
  handShift: 1.5,
  /** A stretch of the hand. */
  stretch: 4,
  /** Semitone below the low interval limits. */
  mud: 2,
  /** Semitone of the top note away from the middle of the comping register. */
  register: 0.35,
  /** Two-note shapes are for small moments. */
  thin: 5,
  /** Doubling the bass player's root at the bottom. */
  rootWithBass: 2,
  /** Another note than the chord's bass at the bottom where no bass player has it. */
  bassMissing: 40,
  /** Semitone of such a bass above C3: a bass sounds low. */
  highBass: 0.8,
  /** Semitone of the top note away from the one that is wanted there: dearer than any move of the hand. */
  topLine: 8,
  /** Semitone by which the top note is not under what it should stay under. */
  above: 12,
  /** Layouts other than close, drop 2, drop 3 and shells. */
  oddLayout: 3,
  /**
   * A rootless shape with neither third nor seventh at the bottom: from five to one the voices of the forms
   * fall together (tests/reference/voicing.json, rule `V-I-down`), which nearer ones without them do not.
   */
  formless: 3,
} as const;

/** Top note the search aims at: G4 for guitar (common practice, no source), F4 for piano, which keeps rootless shapes between Eb3 and A4 (tests/reference/voicing.json, rule `range-rootless`). */
const AIM = { guitar: 67, piano: 65 } as const;
/** Where a bass is looked for without a bass player: C3 or lower, the lower strings of a guitar (common practice, no source). */
const BASS_AIM = 48;
/** Candidates kept for each chord: enough that the best path never wants another, few enough to be quick. */
const KEPT = 24;

interface Candidate {
  readonly voicing: Voicing;
  readonly midi: readonly number[];
  /** Lowest fretted fret; -1 for piano and open shapes. */
  readonly position: number;
  readonly cost: number;
}

/**
 * The best way through a run of chords: one voicing each, by dynamic programming over voice movement, the
 * top line, hand movement and register. The same path drives what is printed and what sounds. A null chord
 * (silence) gives null and lets the hand go anywhere.
 *
 * Time grows with the number of chords, not with their square.
 *
 * `topLine` and `below` are wishes: where no playable voicing meets one, the nearest does.
 *
 * @example voicePath([Dm7, G7, Cmaj7], { instrument: 'piano', withBass: true })
 * @example voicePath([C6, Am7], { instrument: 'guitar', withBass: false, topLine: [67, 69] }) // melody on top
 */
export function voicePath(
  chords: readonly (Chord | null)[],
  options: PathOptions,
): (Voicing | null)[] {
  const memo = new Map<string, readonly Candidate[]>();
  const columns = chords.map((chord, at) =>
    chord ? candidatesFor(chord, options, memo, limitsAt(options, at)) : [],
  );
  const moves = new Map<readonly Candidate[], Map<readonly Candidate[], Float64Array>>();
  const totals = new Float64Array(columns.length * KEPT);
  const from = new Int16Array(columns.length * KEPT);
  let before: readonly Candidate[] = [];
  columns.forEach((column, at) => {
    const row = at * KEPT;
    const costs = movesBetween(before, column, moves);
    extend(totals, from, row, before.length, column.length, costs);
    column.forEach((candidate, index) => {
      totals[row + index] = (totals[row + index] ?? 0) + candidate.cost;
    });
    before = column;
  });
  return traceBack(columns, totals, from);
}

/**
 * Puts the cheapest way into every candidate of a column at `row`, from the column before it. The tables are
 * flat, a row of {@link KEPT} places a chord: a long arrangement has thousands of chords.
 */
function extend(
  totals: Float64Array,
  from: Int16Array,
  row: number,
  before: number,
  width: number,
  costs: Float64Array,
): void {
  const rowBefore = row - KEPT;
  for (let index = 0; index < width; index++) {
    let best = before === 0 ? 0 : Number.POSITIVE_INFINITY;
    let back = -1;
    const move = index * before;
    for (let other = 0; other < before; other++) {
      const cost = (totals[rowBefore + other] as number) + (costs[move + other] as number);
      if (cost < best) {
        best = cost;
        back = other;
      }
    }
    totals[row + index] = best;
    from[row + index] = back;
  }
}

/** Costs of every move between two columns; a tune has few pairs of chords, so each is worked out once. */
function movesBetween(
  before: readonly Candidate[],
  column: readonly Candidate[],
  moves: Map<readonly Candidate[], Map<readonly Candidate[], Float64Array>>,
): Float64Array {
  let row = moves.get(before);
  if (!row) {
    row = new Map();
    moves.set(before, row);
  }
  let costs = row.get(column);
  if (!costs) {
    costs = new Float64Array(column.length * before.length);
    let at = 0;
    for (const to of column) for (const from of before) costs[at++] = moveCost(from, to);
    row.set(column, costs);
  }
  return costs;
}

function traceBack(
  columns: readonly (readonly Candidate[])[],
  totals: Float64Array,
  from: Int16Array,
): (Voicing | null)[] {
  const path: (Voicing | null)[] = new Array<Voicing | null>(columns.length).fill(null);
  let index = -1;
  for (let at = columns.length - 1; at >= 0; at--) {
    const column = columns[at] ?? [];
    if (column.length === 0) {
      index = -1;
      continue;
    }
    if (index < 0) index = cheapest(totals, at * KEPT, column.length);
    path[at] = column[index]?.voicing ?? null;
    index = from[at * KEPT + index] ?? -1;
  }
  return path;
}

function cheapest(totals: Float64Array, row: number, width: number): number {
  let best = 0;
  for (let index = 1; index < width; index++)
    if ((totals[row + index] ?? 0) < (totals[row + best] ?? 0)) best = index;
  return best;
}

/**
 * The nearest other voicing of the same chord: where a player goes for a change of colour on a chord that is
 * held for long. Null where the chord has no other.
 *
 * @example neighbourOf(Dm7, voicing, { instrument: 'guitar', withBass: true }) // the inversion next to it
 */
export function neighbourOf(chord: Chord, voicing: Voicing, options: PathOptions): Voicing | null {
  const own = candidateOf(voicing, chord, options);
  let best: Candidate | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const other of candidatesFor(chord, options, new Map())) {
    if (other.midi.join() === own.midi.join()) continue;
    const cost = other.cost + moveCost(own, other);
    if (cost < least) {
      best = other;
      least = cost;
    }
  }
  return best?.voicing ?? null;
}

/** What one place of a run asks of the top note. */
interface TopLimits {
  readonly top: number | null;
  readonly below: number | null;
}

const FREE: TopLimits = { top: null, below: null };

function limitsAt({ topLine, below }: PathOptions, at: number): TopLimits {
  return topLine || below ? { top: topLine?.[at] ?? null, below: below?.[at] ?? null } : FREE;
}

function candidatesFor(
  chord: Chord,
  options: PathOptions,
  memo: Map<string, readonly Candidate[]>,
  limits = FREE,
): readonly Candidate[] {
  const key = `${chord.root}/${chord.quality.mask}/${chord.bass ?? ''}/${limits.top}/${limits.below}`;
  const known = memo.get(key);
  if (known) return known;
  const all = voicingsOf(chord, options);
  const liked = options.kinds
    ? all.filter((voicing) => options.kinds?.includes(voicing.kind))
    : all;
  const candidates = (liked.length > 0 ? liked : all)
    .map((voicing) => candidateOf(voicing, chord, options, limits))
    .sort((a, b) => a.cost - b.cost)
    .slice(0, KEPT);
  memo.set(key, candidates);
  return candidates;
}

function voicingsOf(chord: Chord, { instrument, guitar, withBass }: PathOptions): Voicing[] {
  if (instrument === 'piano') return pianoVoicings(chord, { withBass });
  const setup = guitar ?? STANDARD_GUITAR;
  const shapes = guitarShapes(chord, setup);
  return withBass ? shapes : [...shapes, ...guitarShapesOverBass(chord, setup)];
}

function candidateOf(
  voicing: Voicing,
  chord: Chord,
  options: PathOptions,
  limits = FREE,
): Candidate {
  const midi = voicing.pitches.map(midiOf);
  const fretted = (voicing.frets ?? []).filter((fret): fret is number => fret !== null && fret > 0);
  const position = fretted.length === 0 ? -1 : Math.min(...fretted);
  const span = fretted.length === 0 ? 0 : Math.max(...fretted) - position;
  const top = midi.at(-1) ?? 0;
  let cost = limits.top === null ? Math.abs(top - AIM[options.instrument]) * COST.register : 0;
  cost += bottomCost(midi[0] ?? 0, chord, options.withBass) + topCost(top, limits);
  cost += mudOver(chromaOf(chord.root), midi) * COST.mud;
  if (midi.length < 3) cost += COST.thin;
  if (isStretch(span, position)) cost += COST.stretch;
  if (!/close|drop|shell|rootless|triad|spread|quartal/.test(voicing.kind)) cost += COST.oddLayout;
  if (voicing.kind === 'rootless') cost += COST.formless;
  return { voicing, midi, position, cost };
}

/** With a bass player the root at the bottom is one too many; without one the chord's bass is wanted there. */
function bottomCost(bottom: number, chord: Chord, withBass: boolean): number {
  const isOn = (pc: Spelled): boolean => modulo(bottom - chromaOf(pc), 12) === 0;
  if (withBass) return isOn(chord.root) ? COST.rootWithBass : 0;
  const high = Math.max(0, bottom - BASS_AIM) * COST.highBass;
  return high + (isOn(chord.bass ?? chord.root) ? 0 : COST.bassMissing);
}

function topCost(top: number, { top: wanted, below }: TopLimits): number {
  const off = wanted === null ? 0 : Math.abs(top - wanted) * COST.topLine;
  return off + (below === null ? 0 : Math.max(0, top - below + 1) * COST.above);
}

function moveCost(from: Candidate, to: Candidate): number {
  const top = Math.abs((from.midi.at(-1) ?? 0) - (to.midi.at(-1) ?? 0));
  const shift =
    from.position < 0 || to.position < 0
      ? 0
      : Math.max(0, Math.abs(from.position - to.position) - 3);
  return (
    voiceDistance(from.midi, to.midi) * COST.voice +
    Math.max(0, top - 2) * COST.topLeap +
    shift * COST.handShift
  );
}

/** Semitones the voices move, matched from the top down; a voice that drops out or comes in costs two. */
function voiceDistance(a: readonly number[], b: readonly number[]): number {
  const shared = Math.min(a.length, b.length);
  let moved = Math.abs(a.length - b.length) * 2;
  for (let voice = 1; voice <= shared; voice++) {
    moved += Math.abs((a[a.length - voice] ?? 0) - (b[b.length - voice] ?? 0));
  }
  return moved;
}
