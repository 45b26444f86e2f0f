import type { Chair } from '../arrangement/band.ts';
import type { Realisation } from '../arrangement/model.ts';
import { realise } from '../arrangement/realise.ts';
import { isHead } from '../arrangement/soloist-of.ts';
import { writtenBassLine } from '../bass/written.ts';
import { instrumentById } from '../pitch/instruments.ts';
import { feelOf } from '../tune/feel.ts';
import type { TimedHarmony } from '../tune/model.ts';
import { asWritten } from './as-written.ts';
import { barsOf } from './bars.ts';
import { bassWriter, type WrittenLine, writtenBass } from './bass.ts';
import { writeBlocks } from './blocks.ts';
import { chorusNames } from './chorus-names.ts';
import { COMPING, DRUMS } from './comping.ts';
import type { BarDirection, BarPlace, StaffWriter } from './content.ts';
import { drumWords } from './drum-words.ts';
import type { PartInput } from './input.ts';
import { keyboardWriter } from './keyboard.ts';
import { leadDirections, leadWords } from './lead.ts';
import type { Part, PartHead } from './model.ts';
import { othersOf } from './others.ts';
import { planChart } from './plan.ts';
import { type ChairReading, readingOf } from './reading.ts';
import { formWords, roadWords } from './road.ts';
import { soloistStaff } from './solo-staff.ts';
import { shapesFromCapo, voicedLine } from './voiced.ts';

export type { PartInput, PartOptions } from './input.ts';

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
  const hasMelody = analysis.chorus.melody.length > 0;
  const bars = barsOf({
    chorus: analysis.chorus,
    state,
    realisation,
    chair,
    key: reading.key,
    told: toldOf(input, realisation, concert),
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
    heads: new Set(
      concert.choruses
        .filter((chorus) => isHead(chorus, concert.choruses, hasMelody))
        .map(({ order }) => order),
    ),
  });
  const choruses = chorusNames(concert.choruses, chair, input.band, hasMelody);
  const plan = planChart(
    bars,
    wish,
    choruses.map((chorus) => chorus.label?.trim() ?? ''),
    options,
  );
  const { blocks, jump } = writeBlocks(bars, choruses, plan, wish !== 'written-out');
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

/** The arrangement as this chair reads it. */
function writtenRealisation(concert: Realisation, reading: ChairReading): Realisation {
  const line = (events: readonly TimedHarmony[]): TimedHarmony[] =>
    events.map((event) => ({ ...event, harmony: reading.harmony(event.harmony) }));
  return { ...concert, band: line(concert.band), solo: line(concert.solo) };
}

/** What a chair is told of the others, bar by bar: who leads the changes, where a drummer goes with the band. */
function toldOf(
  input: PartInput,
  written: Realisation,
  concert: Realisation,
): (place: BarPlace) => readonly BarDirection[] {
  if (input.chair.role === 'drums') return drumWords(input, concert);
  const lead = leadWords(input.chair, input.band);
  return (place) => leadDirections(lead, written, place);
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
      return soloistStaff(input, reading, realisation, concert);
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

/** The line that is played, but for the hold on the last chord of all, which no part writes out. */
function walkedFor(
  { tune, analysis, state, chair }: PartInput,
  reading: ChairReading,
  realisation: Realisation,
): WrittenLine {
  const line = writtenBassLine({
    chorus: analysis.chorus,
    state,
    realisation,
    chair,
    feel: feelOf(state.head.feel ?? tune.feel, tune.meter),
    ending: null,
  });
  return new Map(
    line.map(({ start, length, pitch }) => [start, { length, pitch: reading.pitch(pitch) }]),
  );
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
