import { type Key, signatureOf } from '../pitch/key.ts';
import { isCompound, type Meter, TICKS_PER_QUARTER, type Ticks } from '../time/meter.ts';
import { ascii } from './ascii.ts';
import type { Performance, PerformedNote, PerformedTrack } from './model.ts';
import { smfBytes, TrackWriter, type Writable } from './smf.ts';

/** Release velocity of a player who just lets go: the middle, as the specification advises. */
const RELEASE = 64;

/**
 * A Standard MIDI File, format 1, 960 ticks to the quarter: a conductor track (name, tempo, meters, keys,
 * markers, chord symbols as text events) and a named track a chair with its own channel and program. Note-offs come before note-ons of
 * the same tick, controllers before both, and every track ends where the performance ends.
 *
 * Source of the layout: Standard MIDI Files 1.0 (RP-001), facts and bytes in tests/reference/midi.json.
 *
 * @throws RangeError when a note is not on whole ticks: a fraction would shift all that follows.
 */
export function midiBytes(performance: Performance): Uint8Array {
  const tracks = [
    conductor(performance),
    ...performance.tracks.map((track) => player(track, performance.length)),
  ];
  return smfBytes(tracks, TICKS_PER_QUARTER);
}

function conductor(performance: Performance): TrackWriter {
  const track = new TrackWriter();
  track.event(0, { type: 'trackName', text: ascii(performance.title) });
  const microsecondsPerBeat = Math.round(60_000_000 / performance.quarterBpm);
  track.event(0, { type: 'setTempo', microsecondsPerBeat });
  const timed = [
    ...performance.meters.map(({ at, meter }) => ({ at, event: timeSignature(meter) })),
    ...performance.keys.map(({ at, key }) => ({ at, event: keySignature(key) })),
    ...performance.markers.map(({ at, text }) => ({
      at,
      event: { type: 'marker', text: ascii(text) } as const,
    })),
    ...performance.chords.map(({ at, text }) => ({ at, event: { type: 'text', text } as const })),
  ].sort((a, b) => a.at - b.at);
  for (const { at, event } of timed) track.event(at, event);
  track.end(performance.length);
  return track;
}

/** Clocks a click: a dotted quarter in compound meters, else the unit of the meter. */
function timeSignature(meter: Meter): Writable {
  const unit = 96 / meter.unit;
  return {
    type: 'timeSignature',
    numerator: meter.count,
    denominator: meter.unit,
    metronome: isCompound(meter) ? unit * 3 : unit,
    thirtyseconds: 8,
  };
}

/** Sharps positive, flats negative, folded into the seven either way that a file can hold. */
function keySignature(key: Key): Writable {
  const fifths = signatureOf(key);
  const folded = fifths > 7 ? fifths - 12 : fifths < -7 ? fifths + 12 : fifths;
  return {
    type: 'keySignature',
    key: folded,
    scale: key.mode === 'major' ? 0 : 1,
  };
}

function player({ name, channel, program, notes }: PerformedTrack, length: Ticks): TrackWriter {
  const track = new TrackWriter();
  track.event(0, { type: 'trackName', text: ascii(name) });
  if (program !== null) track.event(0, { type: 'programChange', channel, programNumber: program });
  const { ons, offs } = inPlayingOrder(notes);
  let off = 0;
  for (const on of ons) {
    const tick = Math.floor(on / PLACE);
    while (off < offs.length && (offs[off] as number) < (tick + 1) * PLACE)
      writeNote(track, offs[off++] as number, false, channel);
    writeNote(track, on, true, channel);
  }
  while (off < offs.length) writeNote(track, offs[off++] as number, false, channel);
  track.end(length);
  return track;
}

function writeNote(track: TrackWriter, key: number, on: boolean, channel: number): void {
  const tick = Math.floor(key / PLACE);
  const rest = key - tick * PLACE;
  track.note(tick, on, channel, rest >> 7, rest & 127);
}

/** Weight of a tick in the keys of {@link inPlayingOrder}: a note number and a velocity lie below it. */
const PLACE = 128 * 128;

/**
 * Ons and offs of all notes in the order of a file, each as one number: tick, note number, velocity, the
 * weightiest first. Notes mostly come in order, and end in order; where they do not, numbers sort ten times
 * as fast as events. They stay whole to tick 2^39.
 */
function inPlayingOrder(notes: readonly PerformedNote[]): {
  ons: Float64Array;
  offs: Float64Array;
} {
  const ons = new Float64Array(notes.length);
  const offs = new Float64Array(notes.length);
  let next = 0;
  for (const { start, length, midi, velocity } of notes) {
    if (!Number.isInteger(start) || !Number.isInteger(length))
      throw new RangeError(`A note from ${start} for ${length} is not on whole ticks`);
    ons[next] = start * PLACE + midi * 128 + velocity;
    offs[next++] = (start + length) * PLACE + midi * 128 + RELEASE;
  }
  return { ons: sorted(ons), offs: sorted(offs) };
}

/** Sorts numbers in place unless they are in order. */
function sorted(numbers: Float64Array): Float64Array {
  for (let index = 1; index < numbers.length; index++)
    if ((numbers[index - 1] as number) > (numbers[index] as number)) return numbers.sort();
  return numbers;
}
