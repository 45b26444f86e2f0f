import type { Chord } from '../chord/model.ts';
import { scalesFor } from '../chord/scales.ts';
import { guideTones, notesOf } from '../chord/tones.ts';
import type { Key } from '../pitch/key.ts';
import { chromaOf, modulo, pitchAt, type Spelled } from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';
import { chance } from './chance.ts';
import type { LineNote } from './guide.ts';
import type { LineInput, LineStory } from './model.ts';
import { type Onset, rhythmOf } from './rhythm.ts';

/** Costs of the search, each with its reason; lower is better. */
const COST = {
  /** Guide tones say the chord; the root and fifth say it less. */
  guideTone: 0,
  chordTone: 0.35,
  root: 0.6,
  /** A scale tone between the beats is walking; on a beat it hangs. */
  scaleTone: 0.3,
  scaleOnBeat: 1.6,
  /** A chromatic note leads somewhere or is wrong; leading is a spice. */
  chromatic: 0.9,
  /** The note that tells, and the note that brings it home. */
  tells: -2.5,
  home: -3,
  /** Standing still, leaping, turning round. */
  still: 5,
  skip: 0.35,
  leap: 0.55,
  turn: 0.25,
  /** A phrase ends on a chord tone reached by step. */
  endLeap: 0.5,
  /** A semitone away from the arch of the phrase. */
  arch: 0.07,
  /** Spread of the dice: what makes one seed's line differ from another's. */
  dice: 0.7,
  /** A bar that says what an earlier bar has said. */
  copied: 3,
} as const;

/** Widest leap. */
const WIDEST = 12;
/** Times the line is searched again to get rid of copied bars. */
const TRIES = 8;

/** A note that may stand at an onset. */
interface Candidate {
  readonly midi: number;
  readonly pc: Spelled;
  readonly kind: 'chord' | 'scale' | 'below' | 'above';
  readonly cost: number;
}

/**
 * An example of what to play over the soloist's changes: eighth notes that spell them. Chord tones stand
 * on the strong beats, scale steps and arpeggios between, chromatic notes only where they lead by a
 * semitone into a chord tone, the note that tells where a chord leaves the written changes, and its way
 * home by step. Phrases breathe; no bar copies an earlier one; all stays in the compass.
 *
 * Exact search (dynamic programming over note and direction) on a rhythm drawn by seed: the same input
 * gives the same line on every machine.
 *
 * @throws RangeError when the compass is narrower than an octave
 */
export function exampleLine(input: LineInput): LineNote[] {
  const { compass, harmony, bars } = input;
  if (compass.high - compass.low < 12)
    throw new RangeError('A line needs a compass of an octave or more');
  const onsets = rhythmOf(bars, input.degree, input.seed, forcedOnsets(input)).filter(
    (onset) => harmonyAt(harmony, onset.start)?.harmony.kind === 'chord',
  );
  if (onsets.length === 0) return [];
  const columns = columnsOf(input, onsets);
  const penalties = new Map<string, number>();
  let picks = search(columns, onsets, penalties);
  for (let time = 0; time < TRIES; time++) {
    const copies = copiedOnsets(onsets, columns, picks);
    if (copies.length === 0) break;
    for (const index of copies) {
      const key = `${index}:${columns[index]?.[picks[index] ?? 0]?.midi}`;
      penalties.set(key, (penalties.get(key) ?? 0) + COST.copied);
    }
    picks = search(columns, onsets, penalties);
  }
  return onsets.flatMap((onset, index) => {
    const note = columns[index]?.[picks[index] ?? 0];
    return note
      ? [{ start: onset.start, length: onset.length, pitch: pitchAt(note.midi, note.pc) }]
      : [];
  });
}

/** Places where a note must begin: where a story starts and where it comes home, and the last bar line. */
function forcedOnsets({ stories = [], bars }: LineInput): Set<Ticks> {
  const forced = new Set<Ticks>();
  for (const { start, length } of stories) forced.add(start).add(start + length);
  const last = bars.at(-1);
  if (last) forced.add(last.start);
  return forced;
}

function columnsOf(input: LineInput, onsets: readonly Onset[]): Candidate[][] {
  const palette = new Map<string, Palette>();
  return onsets.map((onset, index) => {
    const event = harmonyAt(input.harmony, onset.start);
    if (event?.harmony.kind !== 'chord') return [];
    const chord = event.harmony;
    const next = onsets[index + 1];
    const target = next && harmonyAt(input.harmony, next.start);
    const leadsTo = target?.harmony.kind === 'chord' ? target.harmony : null;
    const strong = onset.weight >= 3 || event.start === onset.start || onset.ends;
    const story = (input.stories ?? []).find(
      ({ start, length }) => onset.start >= start && onset.start <= start + length,
    );
    return candidates(input, onset, paletteOf(chord, input.key, palette), {
      strong,
      leadsTo,
      story,
    });
  });
}

/** What a chord offers: its tones, its guide tones, and its scale. */
interface Palette {
  readonly chord: Chord;
  readonly tones: ReadonlyMap<number, Spelled>;
  readonly guides: ReadonlySet<number>;
  readonly scale: ReadonlyMap<number, Spelled>;
}

function paletteOf(chord: Chord, key: Key, known: Map<string, Palette>): Palette {
  const id = `${chord.root}.${chord.quality.mask}.${chord.bass}`;
  let palette = known.get(id);
  if (!palette) {
    const [scale] = scalesFor(chord, key);
    palette = {
      chord,
      tones: byChroma(notesOf(chord)),
      guides: new Set(guideTones(chord).map(chromaOf)),
      scale: byChroma(scale?.notes ?? []),
    };
    known.set(id, palette);
  }
  return palette;
}

function byChroma(notes: readonly Spelled[]): ReadonlyMap<number, Spelled> {
  return new Map(notes.map((pc) => [chromaOf(pc), pc]));
}

interface Moment {
  readonly strong: boolean;
  /** Chord of the next onset; a chromatic note leads into one of its tones. */
  readonly leadsTo: Chord | null;
  readonly story: LineStory | undefined;
}

function candidates(input: LineInput, onset: Onset, palette: Palette, moment: Moment): Candidate[] {
  const { low, high } = input.compass;
  const found: Candidate[] = [];
  const targets = moment.leadsTo ? byChroma(notesOf(moment.leadsTo)) : new Map<number, Spelled>();
  for (let midi = low; midi <= high; midi++) {
    const chroma = modulo(midi, 12);
    const tone = palette.tones.get(chroma);
    const base = archCost(input, onset, midi) + chance(input.seed, onset.start, midi) * COST.dice;
    if (tone !== undefined) {
      found.push({
        midi,
        pc: tone,
        kind: 'chord',
        cost: base + toneCost(palette, chroma, onset, moment),
      });
      continue;
    }
    if (moment.strong) continue;
    const step = palette.scale.get(chroma);
    if (step !== undefined) {
      const cost = base + (onset.weight >= 2 ? COST.scaleOnBeat : COST.scaleTone);
      found.push({ midi, pc: step, kind: 'scale', cost });
      continue;
    }
    const above = targets.get(modulo(chroma + 1, 12));
    const below = targets.get(modulo(chroma - 1, 12));
    if (above !== undefined) {
      found.push({ midi, pc: plainly(above + 5), kind: 'below', cost: base + COST.chromatic });
    } else if (below !== undefined) {
      found.push({
        midi,
        pc: plainly(below - 5),
        kind: 'above',
        cost: base + COST.chromatic * 1.5,
      });
    }
  }
  return found;
}

function toneCost(
  palette: Palette,
  chroma: number,
  onset: Onset,
  { strong, story }: Moment,
): number {
  if (story) {
    const inside = onset.start < story.start + story.length;
    if (inside && story.tells !== null && chromaOf(story.tells) === chroma) return COST.tells;
    if (!inside && story.home !== null && chromaOf(story.home) === chroma) return COST.home;
  }
  if (palette.guides.has(chroma)) return COST.guideTone;
  if (chroma === chromaOf(palette.chord.root)) return strong ? COST.root : COST.chordTone;
  return COST.chordTone;
}

/** The arch of a line: it climbs and falls over four bars, differently by seed. */
function archCost({ bars, compass, seed }: LineInput, onset: Onset, midi: number): number {
  const bar = bars[onset.bar];
  const through = bar ? (onset.bar % 4) / 4 + (onset.start - bar.start) / bar.length / 4 : 0;
  const phase = chance(seed, Math.floor(onset.bar / 4), 3);
  const middle = (compass.low + compass.high) / 2;
  const reach = Math.min(9, (compass.high - compass.low) / 2.5);
  const height = 1 - 4 * Math.abs(modulo(through + phase, 1) - 0.5);
  return Math.abs(midi - (middle + height * reach)) * COST.arch;
}

/** A passing chromatic note is read at sight: no doubles, no Fb, Cb, E# or B#. */
function plainly(pc: Spelled): Spelled {
  if (pc <= -7) return pc + 12;
  return pc >= 11 ? pc - 12 : pc;
}

/** Cheapest way through the columns; a state is a note with the direction it was reached in. */
function search(
  columns: readonly (readonly Candidate[])[],
  onsets: readonly Onset[],
  penalties: ReadonlyMap<string, number>,
): number[] {
  const own = (at: number, index: number): number => {
    const note = columns[at]?.[index];
    if (!note) return Number.POSITIVE_INFINITY;
    return note.cost + (penalties.get(`${at}:${note.midi}`) ?? 0);
  };
  let totals = Float64Array.from(
    (columns[0] ?? []).flatMap((_, index) => [own(0, index), own(0, index)]),
  );
  const back: Int16Array[] = [];
  for (let at = 1; at < columns.length; at++) {
    const before = columns[at - 1] ?? [];
    const column = columns[at] ?? [];
    const next = new Float64Array(column.length * 2).fill(Number.POSITIVE_INFINITY);
    const from = new Int16Array(next.length).fill(-1);
    const breathed = onsets[at - 1]?.ends ?? false;
    const ends = onsets[at]?.ends ?? false;
    for (let index = 0; index < column.length; index++) {
      const cost = own(at, index);
      for (let state = 0; state < totals.length; state++) {
        const moved = moveCost(before[state >> 1], column[index], state & 1, breathed, ends);
        if (moved === Number.POSITIVE_INFINITY) continue;
        const way = (column[index]?.midi ?? 0) > (before[state >> 1]?.midi ?? 0) ? 1 : 0;
        const total = (totals[state] ?? Number.POSITIVE_INFINITY) + moved + cost;
        if (total < (next[index * 2 + way] ?? 0)) {
          next[index * 2 + way] = total;
          from[index * 2 + way] = state;
        }
      }
    }
    back.push(from);
    totals = next;
  }
  return traceBack(totals, back, columns.length);
}

function moveCost(
  from: Candidate | undefined,
  to: Candidate | undefined,
  way: number,
  breathed: boolean,
  ends: boolean,
): number {
  if (!from || !to) return Number.POSITIVE_INFINITY;
  const step = to.midi - from.midi;
  const size = Math.abs(step);
  if (size > WIDEST) return Number.POSITIVE_INFINITY;
  if (from.kind === 'below' && !(step === 1 && to.kind === 'chord'))
    return Number.POSITIVE_INFINITY;
  if (from.kind === 'above' && !(step === -1 && to.kind === 'chord'))
    return Number.POSITIVE_INFINITY;
  if (breathed) return size * 0.08;
  if (size === 0) return COST.still;
  let cost = size <= 2 ? 0 : size <= 5 ? (size - 2) * COST.skip : 1 + (size - 5) * COST.leap;
  if (from.kind === 'chord' && to.kind === 'chord' && size <= 5) cost *= 0.5;
  if (step > 0 !== (way === 1)) cost += COST.turn;
  if (ends && size > 2) cost += size * COST.endLeap;
  return cost;
}

function traceBack(totals: Float64Array, back: readonly Int16Array[], length: number): number[] {
  let state = 0;
  totals.forEach((total, index) => {
    if (total < (totals[state] ?? 0)) state = index;
  });
  const picks = new Array<number>(length).fill(0);
  for (let at = length - 1; at >= 0; at--) {
    picks[at] = Math.max(0, state) >> 1;
    state = back[at - 1]?.[state] ?? 0;
  }
  return picks;
}

/** Onsets of every bar of three notes or more that says what an earlier bar has said. */
function copiedOnsets(
  onsets: readonly Onset[],
  columns: readonly (readonly Candidate[])[],
  picks: readonly number[],
): number[] {
  const seen = new Set<string>();
  const copies: number[] = [];
  let first = 0;
  while (first < onsets.length) {
    let end = first;
    while (end < onsets.length && onsets[end]?.bar === onsets[first]?.bar) end++;
    const barStart = onsets[first]?.start ?? 0;
    const said = onsets
      .slice(first, end)
      .map(
        (onset, offset) =>
          `${onset.start - barStart}:${columns[first + offset]?.[picks[first + offset] ?? 0]?.midi}`,
      )
      .join();
    if (end - first >= 3 && seen.has(said))
      for (let index = first; index < end; index++) copies.push(index);
    seen.add(said);
    first = end;
  }
  return copies;
}

function harmonyAt(harmony: readonly TimedHarmony[], at: Ticks): TimedHarmony | undefined {
  let low = 0;
  let high = harmony.length - 1;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((harmony[middle]?.start ?? 0) <= at) low = middle;
    else high = middle - 1;
  }
  return harmony[low];
}
