import type { Chair } from '../arrangement/band.ts';
import type { ArrangementState, Realisation } from '../arrangement/model.ts';
import type { Ticks } from '../time/meter.ts';
import type { Feel } from '../tune/feel.ts';
import type { Chorus, TimedHarmony } from '../tune/model.ts';
import { type BassChart, bassLine } from './chair-line.ts';
import type { BassNote } from './walk.ts';

/** What a written bass line is made from, at concert pitch. */
export interface WrittenBassInput {
  readonly chorus: Chorus;
  readonly state: ArrangementState;
  readonly realisation: Realisation;
  readonly chair: Chair;
  readonly feel: Feel;
  /** Where the last chord of all is struck and held, on the timeline of the arrangement; null where it is not. */
  readonly ending: Ticks | null;
}

/**
 * The bass line that a part writes out, on the timeline of the arrangement. Each chorus is worked out by
 * itself with the first bar of the next in sight, so that choruses with the same changes have the same line
 * and can be printed once; the last one leads back to its own top. An ending changes nothing before it.
 */
export function writtenBassLine(input: WrittenBassInput): BassNote[] {
  const { realisation, ending } = input;
  const length = realisation.chorusLength;
  const line = realisation.choruses.flatMap((_, chorus) =>
    bassLine(roundChart(input, chorus))
      .filter(({ start }) => start < length)
      .map((note) => ({ ...note, start: chorus * length + note.start })),
  );
  if (ending === null) return line;
  const before = line
    .filter(({ start }) => start < ending)
    .map((note) => ({ ...note, length: Math.min(note.length, ending - note.start) }));
  return [...before, ...heldFrom(input, ending)];
}

/** The last chord, struck at a tick and held to the end of its chorus. */
function heldFrom(input: WrittenBassInput, ending: Ticks): BassNote[] {
  const { chair, feel, realisation, chorus } = input;
  const order = Math.floor(ending / realisation.chorusLength);
  const from = order * realisation.chorusLength;
  const at = ending - from;
  const bars = chorus.bars.filter((bar) => bar.start + bar.length > at);
  const chart = { chair, feel, bars, ...piece(input, order, 0, chorus.length), ending: at };
  return bassLine(chart)
    .filter(({ start }) => start >= at)
    .map((note) => ({ ...note, start: from + note.start }));
}

/** One chorus, counted from its top, and the first bar after it. */
function roundChart(input: WrittenBassInput, chorus: number): BassChart {
  const { chair, feel, realisation } = input;
  const { bars, length } = input.chorus;
  const here = piece(input, chorus, 0, length);
  const [top] = bars;
  if (!top) return { chair, feel, bars, ...here, ending: null };
  const after = realisation.choruses[chorus + 1] ? chorus + 1 : chorus;
  const next = piece(input, after, length, top.length);
  return {
    chair,
    feel,
    bars: [...bars, { ...top, start: length }],
    harmony: [...here.harmony, ...next.harmony],
    directions: [...here.directions, ...next.directions],
    ending: null,
  };
}

/** Changes and directions of the first ticks of a chorus, put at a tick. */
function piece(
  { state, realisation, chair }: WrittenBassInput,
  chorus: number,
  at: Ticks,
  length: Ticks,
): Pick<BassChart, 'harmony' | 'directions'> {
  const from = chorus * realisation.chorusLength;
  const id = realisation.choruses[chorus]?.id;
  const directions = Object.values(state.directions)
    .filter((direction) => direction.chair === chair.id && direction.chorus === id)
    .map((direction) => ({ ...direction, start: direction.start + at }));
  return { harmony: cutOut(realisation.band, from, length, at), directions };
}

function cutOut(
  line: readonly TimedHarmony[],
  from: Ticks,
  length: Ticks,
  at: Ticks,
): TimedHarmony[] {
  return line.flatMap(({ start, length: sounding, harmony }) => {
    const begins = Math.max(start, from);
    const ends = Math.min(start + sounding, from + length);
    return ends > begins ? [{ start: begins - from + at, length: ends - begins, harmony }] : [];
  });
}
