import type { Chord } from '../chord/model.ts';
import { guideTones } from '../chord/tones.ts';
import { chromaOf, midiOf, modulo, type Pitch, pitchAt } from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';

/** A note of a line, sounding pitch. */
export interface LineNote {
  readonly start: Ticks;
  readonly length: Ticks;
  readonly pitch: Pitch;
}

/** Lowest and highest sounding MIDI note a line may use. */
export interface Compass {
  readonly low: number;
  readonly high: number;
}

/** Cost of a move of so many semitones: steps are free, leaps hurt more and more. */
function moveCost(semitones: number): number {
  const size = Math.abs(semitones);
  if (size <= 2) return size * 0.25;
  return size;
}

/**
 * The guide-tone line through a run of changes: one third or seventh a chord, moving by step wherever the
 * chords allow, inside a compass. Exact by dynamic programming over every guide tone in every octave of the
 * compass. A chord that returns with nothing between keeps its note. Silence (N.C.) breaks the line.
 *
 * Rule: thirds and sevenths carry the harmony and connect by step (tests/reference/voicing.json, `guide-tones`).
 *
 * @throws RangeError when the compass is narrower than an octave: some guide tone would have no place in it.
 */
export function guideLine(harmony: readonly TimedHarmony[], compass: Compass): LineNote[] {
  if (compass.high - compass.low < 12)
    throw new RangeError('A guide-tone line needs a compass of an octave or more');
  const events = harmony.filter((event) => event.harmony.kind === 'chord');
  const memo = new Map<string, Column>();
  const columns = events.map((event) => columnFor(event.harmony as Chord, compass, memo));
  const middle = (compass.low + compass.high) / 2;
  const totals: number[][] = [];
  const from: number[][] = [];
  columns.forEach((column, at) => {
    const before = columns[at - 1];
    const totalsBefore = totals[at - 1];
    const total: number[] = [];
    const back: number[] = [];
    for (const midi of column.midi) {
      const index = before && totalsBefore ? cheapest(before, totalsBefore, midi) : -1;
      const way = index < 0 ? 0 : wayCost(before, totalsBefore, index, midi);
      total.push(way + Math.abs(midi - middle) * 0.05);
      back.push(index);
    }
    totals.push(total);
    from.push(back);
  });
  return traceBack(events, columns, totals, from);
}

/** Guide tones of a chord in every octave of a compass. */
interface Column {
  readonly pitches: readonly Pitch[];
  readonly midi: readonly number[];
}

function columnFor(chord: Chord, compass: Compass, memo: Map<string, Column>): Column {
  const key = `${chord.root}/${chord.quality.mask}`;
  let column = memo.get(key);
  if (!column) {
    const pitches = tonesIn(chord, compass);
    column = { pitches, midi: pitches.map(midiOf) };
    memo.set(key, column);
  }
  return column;
}

function tonesIn(chord: Chord, compass: Compass): Pitch[] {
  const found: Pitch[] = [];
  for (const pc of guideTones(chord)) {
    const first = compass.low + modulo(chromaOf(pc) - compass.low, 12);
    for (let midi = first; midi <= compass.high; midi += 12) found.push(pitchAt(midi, pc));
  }
  return found;
}

function wayCost(
  before: Column | undefined,
  totals: readonly number[] | undefined,
  index: number,
  midi: number,
): number {
  return (totals?.[index] ?? 0) + moveCost(midi - (before?.midi[index] ?? midi));
}

function cheapest(before: Column, totals: readonly number[], midi: number): number {
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let index = 0; index < before.midi.length; index++) {
    const cost = wayCost(before, totals, index, midi);
    if (cost < least) {
      best = index;
      least = cost;
    }
  }
  return best;
}

function traceBack(
  events: readonly TimedHarmony[],
  columns: readonly Column[],
  totals: readonly (readonly number[])[],
  from: readonly (readonly number[])[],
): LineNote[] {
  const line: LineNote[] = [];
  const last = totals.at(-1);
  if (!last) return line;
  let index = last.indexOf(Math.min(...last));
  for (let at = events.length - 1; at >= 0; at--) {
    const event = events[at];
    const pitch = columns[at]?.pitches[index];
    if (event && pitch) line.push({ start: event.start, length: event.length, pitch });
    index = from[at]?.[index] ?? 0;
  }
  return line.reverse();
}
