import type { Chord } from '../chord/model.ts';
import { chromaOf, midiOf, modulo } from '../pitch/spelled.ts';
import { type GuitarSetup, guitarShapes, isStretch, STANDARD_GUITAR } from './guitar.ts';
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
 * @example voicePath([Dm7, G7, Cmaj7], { instrument: 'piano', withBass: true })
 */
export function voicePath(
  chords: readonly (Chord | null)[],
  options: PathOptions,
): (Voicing | null)[] {
  const memo = new Map<string, readonly Candidate[]>();
  const columns = chords.map((chord) => (chord ? candidatesFor(chord, options, memo) : []));
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

function candidatesFor(
  chord: Chord,
  options: PathOptions,
  memo: Map<string, readonly Candidate[]>,
): readonly Candidate[] {
  const key = `${chord.root}/${chord.quality.mask}/${chord.bass ?? ''}`;
  const known = memo.get(key);
  if (known) return known;
  const all =
    options.instrument === 'guitar'
      ? guitarShapes(chord, options.guitar ?? STANDARD_GUITAR)
      : pianoVoicings(chord, { withBass: options.withBass });
  const liked = options.kinds
    ? all.filter((voicing) => options.kinds?.includes(voicing.kind))
    : all;
  const candidates = (liked.length > 0 ? liked : all)
    .map((voicing) => candidateOf(voicing, chord, options))
    .sort((a, b) => a.cost - b.cost)
    .slice(0, KEPT);
  memo.set(key, candidates);
  return candidates;
}

function candidateOf(voicing: Voicing, chord: Chord, options: PathOptions): Candidate {
  const midi = voicing.pitches.map(midiOf);
  const fretted = (voicing.frets ?? []).filter((fret): fret is number => fret !== null && fret > 0);
  const position = fretted.length === 0 ? -1 : Math.min(...fretted);
  const span = fretted.length === 0 ? 0 : Math.max(...fretted) - position;
  const rootBelow = modulo((midi[0] ?? 0) - chromaOf(chord.root), 12) === 0;
  let cost = Math.abs((midi.at(-1) ?? 0) - AIM[options.instrument]) * COST.register;
  cost += mudOver(chromaOf(chord.root), midi) * COST.mud;
  if (midi.length < 3) cost += COST.thin;
  if (isStretch(span, position)) cost += COST.stretch;
  if (rootBelow && options.withBass) cost += COST.rootWithBass;
  if (!/close|drop|shell|rootless|triad|spread|quartal/.test(voicing.kind)) cost += COST.oddLayout;
  if (voicing.kind === 'rootless') cost += COST.formless;
  return { voicing, midi, position, cost };
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
