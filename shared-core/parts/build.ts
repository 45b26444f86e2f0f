import type { Analysis } from '../analysis/model.ts';
import type { Band, Chair } from '../arrangement/band.ts';
import type { ArrangementState, Realisation } from '../arrangement/model.ts';
import { harmonyAt, realise } from '../arrangement/realise.ts';
import { isHead, soloistOf } from '../arrangement/soloist-of.ts';
import { symbolOf } from '../chord/format.ts';
import { lineForChair } from '../line/for-chair.ts';
import type { LineNote } from '../line/guide.ts';
import { exampleLine } from '../line/line.ts';
import type { LineDegree } from '../line/model.ts';
import { instrumentById } from '../pitch/instruments.ts';
import { midiOf } from '../pitch/spelled.ts';
import type { TimedHarmony, Tune } from '../tune/model.ts';
import { asWritten } from './as-written.ts';
import { barsOf } from './bars.ts';
import { bassWriter, type WrittenLine, writtenBass } from './bass.ts';
import { writeBlocks } from './blocks.ts';
import { COMPING, DRUMS } from './comping.ts';
import type { StaffWriter } from './content.ts';
import { keyboardWriter } from './keyboard.ts';
import { leadWords } from './lead.ts';
import type { Part, PartHead } from './model.ts';
import { type LayoutWish, planChart } from './plan.ts';
import { type ChairReading, readingOf } from './reading.ts';
import { formWords, roadWords } from './road.ts';
import { soloistWriter, type Telling } from './soloist.ts';
import { shapesFromCapo, voicedLine } from './voiced.ts';
import { walkedLine } from './walked.ts';

/** What the caller may choose about a part. Everything has a default. */
export interface PartOptions {
  /** `auto`: the shortest honest chart; `compact`: shorter still by more strips; `written-out`: every chorus in full. */
  readonly layout?: LayoutWish;
  /** Everything at concert pitch. Default false. */
  readonly concert?: boolean;
  /** Printed as given: `v3`. */
  readonly version?: string | null;
  /** Printed as given; the engine has no clock. */
  readonly date?: string | null;
  /** Soloist: the guide-tone line in plain bars. Default true. */
  readonly guideTones?: boolean;
  /** Guitar: fret diagrams over the chords; keyboards: notes on two staves. Default false. */
  readonly voicings?: boolean;
  /** Bass: a line written out, walking or as directed, instead of roots and slashes. Default false. */
  readonly walkingLine?: boolean;
  /** Soloist: the melody in choruses labelled as a head. Default true. */
  readonly melody?: boolean;
  /**
   * Soloist: an example line over the changes of each solo chorus, instead of guide tones and arpeggios;
   * a kept line stays. `seed`: a whole number; another number, other lines. Default none.
   */
  readonly exampleLine?: { readonly degree: LineDegree; readonly seed: number } | null;
}

/** Everything a part is made from. */
export interface PartInput {
  readonly tune: Tune;
  readonly analysis: Analysis;
  readonly state: ArrangementState;
  readonly chair: Chair;
  readonly band: Band;
  readonly options?: PartOptions;
}

/**
 * Builds what one chair reads: the whole arrangement in its transposition and key, as the shortest
 * honest chart. Pure and deterministic; following the printed chart (`unrollPart`) gives exactly the
 * arrangement.
 *
 * @throws Error when the chair's instrument is unknown (see `isInstrument`) or there is no chorus
 */
export function buildPart(input: PartInput): Part {
  const { analysis, state, chair } = input;
  const options = input.options ?? {};
  const reading = readingOf(chair, analysis.key, options.concert ?? false);
  const concert = realise(analysis.chorus, state);
  if (concert.choruses.length === 0) throw new Error('The arrangement has no chorus');
  const realisation = writtenRealisation(asWritten(concert, analysis.chorus), reading);
  const wish = options.layout ?? 'auto';
  const bars = barsOf({
    chorus: analysis.chorus,
    state,
    realisation,
    chair,
    key: reading.key,
    lead: leadWords(chair, input.band),
    writer: writerOf(input, reading, realisation, concert),
    voiced:
      options.voicings && chair.role === 'comping' && !onStaff(input)
        ? shapesFromCapo(
            voicedLine(concert, chair, input.band, analysis.chorus.melody),
            chair.strings?.capo ?? 0,
          )
        : new Map(),
    others: othersOf(input, concert),
    countOthers: wish !== 'written-out',
  });
  const plan = planChart(
    bars,
    wish,
    concert.choruses.map((chorus) => chorus.label?.trim() ?? ''),
  );
  const { blocks, jump } = writeBlocks(bars, concert.choruses, plan, wish !== 'written-out');
  return {
    chairId: chair.id,
    role: chair.role,
    head: headOf(input, reading, realisation),
    reading: { ...reading.reading, staves: onStaff(input) ? 2 : 1 },
    key: reading.key,
    meter: input.tune.meter,
    chorusBars: analysis.chorus.bars.length,
    choruses: concert.choruses.length,
    blocks,
    jump,
  };
}

/**
 * Choruses (0-based) a soloist only counts through: they belong to another player, and nothing is asked of
 * this chair in them: no line kept for it, no instruction but to lay out.
 */
function othersOf({ analysis, state, chair, band }: PartInput, real: Realisation): Set<number> {
  if (chair.role !== 'soloist') return new Set();
  const asked = new Set([
    ...Object.values(state.lines).flatMap((line) => (line.chair === chair.id ? [line.chorus] : [])),
    ...Object.values(state.directions).flatMap(({ chair: id, chorus, words }) =>
      id === chair.id && words !== 'lay out' ? [chorus] : [],
    ),
  ]);
  const melody = analysis.chorus.melody.length > 0;
  const others = real.choruses.filter((plan) => {
    const owner = soloistOf(plan, real.choruses, band, melody);
    return owner !== null && owner !== chair.id && !asked.has(plan.id);
  });
  return new Set(others.map((plan) => plan.order));
}

/** The arrangement as this chair reads it. */
function writtenRealisation(concert: Realisation, reading: ChairReading): Realisation {
  const line = (events: readonly TimedHarmony[]): TimedHarmony[] =>
    events.map((event) => ({ ...event, harmony: reading.harmony(event.harmony) }));
  return { ...concert, band: line(concert.band), solo: line(concert.solo) };
}

function writerOf(
  input: PartInput,
  reading: ChairReading,
  realisation: Realisation,
  concert: Realisation,
): StaffWriter {
  const range = reading.instrument.comfortable;
  switch (input.chair.role) {
    case 'comping':
      return onStaff(input)
        ? keyboardWriter(
            voicedLine(concert, input.chair, input.band, input.analysis.chorus.melody),
            reading.pitch,
          )
        : COMPING;
    case 'drums':
      return DRUMS;
    case 'bass':
      if (input.options?.walkingLine) return writtenBass(walkedFor(input, reading, concert));
      return range ? bassWriter(withLowest(range, input.chair, reading)) : COMPING;
    case 'soloist':
      return range ? soloist(input, reading, realisation, concert, range) : COMPING;
  }
}

/** A written range down to the chair's lowest string, where its strings are said. */
function withLowest(
  range: NonNullable<ChairReading['instrument']['comfortable']>,
  { strings }: Chair,
  reading: ChairReading,
): typeof range {
  const lowest = strings?.tuning[0];
  return lowest ? { ...range, low: reading.pitch(lowest) } : range;
}

/** Whether this chair's voicings are written as notes on two staves. */
function onStaff({ chair, options }: PartInput): boolean {
  const keyboard = instrumentById(chair.instrument).family === 'keyboard';
  return keyboard && chair.role === 'comping' && (options?.voicings ?? false);
}

function walkedFor(
  { analysis, state, chair }: PartInput,
  reading: ChairReading,
  realisation: Realisation,
): WrittenLine {
  return walkedLine({
    chorus: analysis.chorus,
    state,
    realisation,
    chair,
    written: reading.pitch,
  });
}

function soloist(
  input: PartInput,
  reading: ChairReading,
  realisation: Realisation,
  concert: Realisation,
  range: NonNullable<ChairReading['instrument']['comfortable']>,
): StaffWriter {
  const { analysis, state, chair, options = {} } = input;
  const shift = reading.reading.toWritten.fifths;
  const tellings = realisation.placements.flatMap(({ start, length, placement }): Telling[] => {
    const { origin } = placement;
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

type MelodyNotes = Parameters<typeof soloistWriter>[0]['melody'];

/** Moves a melody by whole octaves until as little of it as possible lies outside the range. */
function fitMelody(
  melody: MelodyNotes,
  range: NonNullable<ChairReading['instrument']['comfortable']>,
): MelodyNotes {
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

const KINDS: Readonly<Record<Chair['role'], string>> = {
  comping: 'changes with cues of what may be played over them',
  soloist: 'changes to play above, the band’s below where it has others; small notes: guide tones',
  bass: 'changes with the note each stands on',
  drums: 'form, hits and feel',
};

function headOf(
  { tune, analysis, state, chair, options = {} }: PartInput,
  reading: ChairReading,
  realisation: Realisation,
): PartHead {
  return {
    title: tune.title,
    credit: tune.credit,
    arrangement: state.head.name,
    version: options.version ?? null,
    date: options.date ?? null,
    chair: chair.name,
    transposition: reading.transposition,
    kind: KINDS[chair.role],
    tempo: state.head.tempo ?? tune.tempo,
    feel: state.head.feel ?? tune.feel,
    form: formWords(analysis.chorus),
    road: roadWords(realisation.choruses),
  };
}
