import type { Chair } from '../arrangement/band.ts';
import { symbolOf } from '../chord/format.ts';
import { instrumentById } from '../pitch/instruments.ts';
import { lastStartingBy } from '../time/halving.ts';
import {
  barTicks,
  beatTicks,
  type Meter,
  sameMeter,
  TICKS_PER_QUARTER,
  type Ticks,
} from '../time/meter.ts';
import { ascii } from './ascii.ts';
import { performBass } from './bass-part.ts';
import { performComping } from './comping.ts';
import { performCountIn, performDrums } from './drums.ts';
import type { Performance, PerformedNote, PerformedTrack } from './model.ts';
import { performSoloist } from './soloist.ts';
import { type PerformInput, type PerformOptions, type Stage, stageOf } from './stage.ts';
import { ratioOf, swungInBar } from './swing.ts';

/**
 * Plays an arrangement: every chair's notes on one timeline of whole ticks, count-in first, swing and
 * dynamics applied, at concert pitch. Deterministic: the same input gives the same notes.
 *
 * Who is missing from the band and needed is put in: see `stageOf`.
 *
 * @example perform({ tune, chorus, key, state, band, options: { without: 'tenor' } })
 */
export function perform(input: PerformInput): Performance {
  const stage = stageOf(input);
  const window = windowOf(stage, input.options);
  const meter = stage.bars[0]?.meter ?? input.tune.meter;
  const countIn = countInTicks(stage, window.from, input.options?.countInBars);
  const place = placer(stage, window, countIn);
  const tracks = stage.chairs
    .filter((chair) => chair.id !== input.options?.without)
    .map((chair, index) => trackOf(chair, index, place(notesOf(chair, stage))));
  const drums = tracks.find((track) => track.channel === 9);
  const clicks = performCountIn(meter, countIn);
  return {
    title: input.tune.title,
    quarterBpm:
      (stage.tempo * beatTicks(input.tune.meter) * (input.options?.speed ?? 1)) / TICKS_PER_QUARTER,
    meters: metersOf(stage, window, countIn, meter),
    keys: [{ at: 0, key: input.key }],
    markers: markersOf(stage, window, countIn),
    chords: chordsOf(stage, window, countIn),
    countIn,
    length: countIn + window.to - window.from,
    tracks: tracks.map((track) =>
      track === drums ? { ...track, notes: [...clicks, ...track.notes] } : track,
    ),
  };
}

interface Window {
  readonly from: Ticks;
  readonly to: Ticks;
}

function windowOf(stage: Stage, options: PerformOptions | undefined): Window {
  const length = stage.chorus.length;
  const last = stage.realisation.choruses.length - 1;
  const from = Math.max(0, Math.min(options?.choruses?.from ?? 0, last));
  const to = Math.max(from, Math.min(options?.choruses?.to ?? last, last));
  return { from: from * length, to: (to + 1) * length };
}

/** Whole bars counted in, less a pickup: its notes then fall on the beats they are written on. */
function countInTicks(stage: Stage, from: Ticks, bars: number | undefined): Ticks {
  const first = stage.bars.find((bar) => bar.start === from);
  if (!first) return 0;
  const whole = barTicks(first.meter);
  const count = bars ?? (stage.tempo >= 160 ? 2 : 1);
  const pickup = first.length < whole ? first.length : 0;
  return Math.max(0, count * whole - pickup);
}

function notesOf(chair: Chair, stage: Stage): PerformedNote[] {
  switch (chair.role) {
    case 'comping':
      return performComping(chair, stage);
    case 'bass':
      return performBass(chair, stage);
    case 'drums':
      return performDrums(chair, stage);
    case 'soloist':
      return performSoloist(chair, stage);
  }
}

/** MIDI channel of the index-th chair: 0-15 without 9, which is the drums'. */
function channelOf(chair: Chair, index: number): number {
  if (chair.role === 'drums') return 9;
  const channel = index % 15;
  return channel >= 9 ? channel + 1 : channel;
}

function trackOf(chair: Chair, index: number, notes: readonly PerformedNote[]): PerformedTrack {
  const instrument = instrumentById(chair.instrument);
  const program = chair.role === 'drums' ? null : (instrument.program ?? 0);
  return { chair: chair.id, name: chair.name, channel: channelOf(chair, index), program, notes };
}

/**
 * Swings notes, cuts them to the window and puts them after the count-in. One pitch of one chair sounds once
 * at a time: a note ends where the next of its pitch begins.
 */
function placer(
  stage: Stage,
  window: Window,
  countIn: Ticks,
): (notes: readonly PerformedNote[]) => PerformedNote[] {
  const shift = countIn - window.from;
  return (notes) => {
    const placed: PerformedNote[] = [];
    const last = new Int32Array(128).fill(-1);
    const starts = warpOf(stage);
    const ends = warpOf(stage);
    for (const { start: written, length, midi, velocity } of inOrder(notes)) {
      if (written < window.from || written >= window.to) continue;
      const start = starts(written) + shift;
      const end = Math.min(ends(written + length), window.to) + shift;
      if (end <= start || !cutBefore(placed, last[midi] ?? -1, start)) continue;
      last[midi] = placed.length;
      placed.push({ start, length: end - start, midi, velocity });
    }
    return placed;
  };
}

/** Ends the note at an index by a tick; false where it begins on that tick itself and stands for both. */
function cutBefore(placed: PerformedNote[], index: number, at: Ticks): boolean {
  const before = placed[index];
  if (!before || before.start + before.length <= at) return true;
  if (before.start === at) return false;
  placed[index] = { ...before, length: at - before.start };
  return true;
}

/** Sorted by start, then pitch; players mostly play in order already, so that is asked first. */
function inOrder(notes: readonly PerformedNote[]): readonly PerformedNote[] {
  let before = notes[0];
  for (const note of notes) {
    if (before && compare(before, note) > 0) return [...notes].sort(compare);
    before = note;
  }
  return notes;
}

function compare(a: PerformedNote, b: PerformedNote): number {
  return a.start - b.start || a.midi - b.midi;
}

/**
 * The swing of the whole arrangement: straight places in, sounding places out. Places come in order or
 * nearly so, and the notes of a chord share theirs, so the bar and the place last asked for are remembered.
 */
function warpOf(stage: Stage): (at: Ticks) => Ticks {
  const ratio = ratioOf(stage.feel.division, stage.tempo);
  if (ratio === 1) return (at) => at;
  const { bars } = stage;
  let index = 0;
  let asked: Ticks = -1;
  let place: Ticks = 0;
  return (at) => {
    if (at === asked) return place;
    while (index > 0 && (bars[index]?.start ?? 0) > at) index--;
    while ((bars[index + 1]?.start ?? Number.POSITIVE_INFINITY) <= at) index++;
    const bar = bars[index];
    asked = at;
    place = bar ? bar.start + swungInBar(bar, at - bar.start, ratio) : at;
    return place;
  };
}

function metersOf(
  stage: Stage,
  window: Window,
  countIn: Ticks,
  first: Meter,
): Performance['meters'] {
  let now = { at: 0, meter: first };
  const meters = [now];
  for (const bar of stage.bars) {
    if (bar.start < window.from || bar.start >= window.to) continue;
    const at = bar.start - window.from + countIn;
    // A pickup that is counted in runs on from the count: the two make whole bars.
    const counted = bar.start === window.from;
    if (sameMeter(now.meter, bar.meter) && (counted || (at - now.at) % barTicks(bar.meter) === 0))
      continue;
    now = { at, meter: bar.meter };
    meters.push(now);
  }
  return meters;
}

function chordsOf(stage: Stage, window: Window, countIn: Ticks): Performance['chords'] {
  const { band } = stage.realisation;
  return band
    .slice(lastStartingBy(band, window.from))
    .filter(({ start }) => start < window.to)
    .map(({ start, harmony }) => ({
      at: Math.max(start, window.from) - window.from + countIn,
      text: symbolOf(harmony),
    }));
}

function markersOf(stage: Stage, window: Window, countIn: Ticks): Performance['markers'] {
  const markers: { at: Ticks; text: string }[] = countIn > 0 ? [{ at: 0, text: 'Count-in' }] : [];
  for (const bar of stage.bars) {
    if (bar.start < window.from || bar.start >= window.to) continue;
    const at = bar.start - window.from + countIn;
    const plan = stage.realisation.choruses[bar.chorus];
    if (bar.index === 0) {
      const label = plan?.label ? `: ${plan.label}` : '';
      markers.push({ at, text: ascii(`Chorus ${bar.chorus + 1}${label}`) });
    }
    if (bar.startsSection && bar.label !== '')
      markers.push({ at, text: ascii(`Section ${bar.label}`) });
  }
  return markers;
}
