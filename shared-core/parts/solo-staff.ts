import type { KeptLine, Realisation } from '../arrangement/model.ts';
import { harmonyAt } from '../arrangement/realise.ts';
import { isHead } from '../arrangement/soloist-of.ts';
import { symbolOf } from '../chord/format.ts';
import { lineForChair } from '../line/for-chair.ts';
import type { LineNote } from '../line/guide.ts';
import { exampleLine } from '../line/line.ts';
import { instrumentById, type PitchRange } from '../pitch/instruments.ts';
import { midiOf } from '../pitch/spelled.ts';
import type { TimedHarmony } from '../tune/model.ts';
import { COMPING } from './comping.ts';
import type { StaffWriter } from './content.ts';
import type { PartInput } from './input.ts';
import { othersOf } from './others.ts';
import type { ChairReading } from './reading.ts';
import { soloistWriter } from './soloist.ts';
import type { SoloistInput, Telling } from './soloist-model.ts';

/**
 * The staff of a soloist: its lines, the melody and guide tones in its comfortable range, else its whole
 * range. An instrument without pitches of its own (drums) has slashes, and notes only where a line was kept
 * for it.
 */
export function soloistStaff(
  input: PartInput,
  reading: ChairReading,
  realisation: Realisation,
  concert: Realisation,
): StaffWriter {
  const range = reading.instrument.comfortable ?? reading.instrument.range;
  if (range) return soloist(input, reading, realisation, concert, range);
  const kept = soloist(input, reading, realisation, concert, STAFF);
  const own = new Set(
    Object.values(input.state.lines)
      .filter((line) => line.chair === input.chair.id)
      .flatMap((line) => barsUnder(input, line)),
  );
  return {
    ...COMPING,
    events: (place) =>
      (own.has(`${place.chorus}.${place.bar.index}`) ? kept : COMPING).events(place),
  };
}

/** Written range for an instrument that has none: the treble staff and two notes below it. */
const STAFF: PitchRange = { low: { pc: 0, octave: 4 }, high: { pc: 1, octave: 5 } };

function barsUnder({ analysis, state }: PartInput, line: KeptLine): readonly string[] {
  const order = state.choruses[line.chorus]?.order ?? 0;
  return analysis.chorus.bars
    .filter((bar) => bar.start < line.start + line.length && line.start < bar.start + bar.length)
    .map((bar) => `${order}.${bar.index}`);
}

function soloist(
  input: PartInput,
  reading: ChairReading,
  realisation: Realisation,
  concert: Realisation,
  range: PitchRange,
): StaffWriter {
  const { analysis, state, chair, options = {} } = input;
  const shift = reading.reading.toWritten.fifths;
  const others = othersOf(input, concert);
  const tellings = realisation.placements.flatMap(({ start, length, placement }): Telling[] => {
    const { origin } = placement;
    // Who has only counted through a rewrite brings nothing home from it.
    if (others.has(Math.floor(start / realisation.chorusLength))) return [];
    if (origin.kind !== 'proposal' || placement.layer !== 'soloist') return [];
    const move = (pc: number | null): number | null => (pc === null ? null : pc + shift);
    return [{ start, length, tells: move(origin.tells), home: move(origin.home) }];
  });
  const heads = realisation.choruses
    .filter((plan) => isHead(plan, realisation.choruses, analysis.chorus.melody.length > 0))
    .map((plan) => plan.order);
  const melody = options.melody === false ? [] : analysis.chorus.melody;
  return soloistWriter({
    chorus: analysis.chorus.harmony.map((event) => ({
      ...event,
      harmony: reading.harmony(event.harmony),
    })),
    low: range.low,
    high: range.high,
    tellings,
    melody: fitMelody(
      melody.map((note) => ({ ...note, pitch: reading.pitch(note.pitch) })),
      range,
    ),
    lines: [
      ...Object.values(state.lines)
        .filter((line) => line.chair === chair.id)
        .map((line) => ({ ...line, chorus: state.choruses[line.chorus]?.order ?? 0 })),
      ...exampleLines(input, concert, new Set(heads)),
    ].map(({ chorus, start, length, notes }) => ({
      chorus,
      start,
      length,
      notes: notes.map((note) => ({ ...note, pitch: reading.pitch(note.pitch) })),
    })),
    heads: new Set(heads),
    over: (at) => soundAt(realisation.solo, at) !== soundAt(realisation.band, at),
    guideTones: options.guideTones ?? true,
  });
}

/**
 * An example line for every chorus that plays no melody, another one each time; none for an instrument of
 * less than an octave. Sounding pitch.
 */
function exampleLines(
  { analysis, chair, options }: PartInput,
  realisation: Realisation,
  heads: ReadonlySet<number>,
): { chorus: number; start: number; length: number; notes: readonly LineNote[] }[] {
  const wish = options?.exampleLine;
  const instrument = instrumentById(chair.instrument);
  const range = instrument.comfortable;
  if (!wish || !range) return [];
  const down = instrument.toWritten.semitones;
  const compass = { low: midiOf(range.low) - down, high: midiOf(range.high) - down };
  if (compass.high - compass.low < 12) return [];
  const { chorus, key } = analysis;
  return realisation.choruses
    .filter(({ order }) => !heads.has(order))
    .map(({ order }) => {
      const seed = wish.seed + order;
      const line = lineForChair({
        ...{ chorus, realisation, key, order, compass },
        ...{ degree: wish.degree, seed },
      });
      return { chorus: order, start: 0, length: chorus.length, notes: exampleLine(line) };
    });
}

function soundAt(line: readonly TimedHarmony[], at: number): string {
  const harmony = harmonyAt(line, at);
  return harmony ? symbolOf(harmony) : '';
}

type MelodyNotes = SoloistInput['melody'];

/** Moves a melody by whole octaves until as little of it as possible lies outside the range. */
function fitMelody(melody: MelodyNotes, range: PitchRange): MelodyNotes {
  const [low, high] = [midiOf(range.low), midiOf(range.high)];
  let best = { octaves: 0, outside: Number.POSITIVE_INFINITY };
  for (const octaves of [0, 1, -1, 2, -2, 3, -3]) {
    const outside = melody.filter(({ pitch }) => {
      const place = midiOf(pitch) + octaves * 12;
      return place < low || place > high;
    }).length;
    if (outside < best.outside) best = { octaves, outside };
  }
  return melody.map((note) => ({
    ...note,
    pitch: { ...note.pitch, octave: note.pitch.octave + best.octaves },
  }));
}
