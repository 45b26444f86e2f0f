import { type Key, signatureOf } from '../pitch/key.ts';
import { isCompound, type Meter, TICKS_PER_QUARTER, type Ticks } from '../time/meter.ts';
import { ascii } from './ascii.ts';
import type { Performance, PerformedTrack } from './model.ts';
import { smfBytes, type Writable } from './smf.ts';

/** A MIDI event that has not been given its delta yet. */
type Undated = Writable extends infer E
  ? E extends Writable
    ? Omit<E, 'deltaTime'>
    : never
  : never;

/** An event at an absolute tick; `rank` orders events of one tick: texts, controllers, note-offs, note-ons. */
interface Timed {
  readonly at: Ticks;
  readonly rank: number;
  readonly event: Undated;
}

/**
 * A Standard MIDI File, format 1, 960 ticks to the quarter: a conductor track (name, tempo, meters, keys,
 * markers) and a named track a chair with its own channel and program. Note-offs come before note-ons of
 * the same tick, controllers before both, and every track ends where the performance ends.
 *
 * Source of the layout: Standard MIDI Files 1.0 (RP-001), facts and bytes in tests/reference/midi.json.
 */
export function midiBytes(performance: Performance): Uint8Array {
  const tracks = [conductor(performance), ...performance.tracks.map(playerEvents)];
  return smfBytes(
    tracks.map((events) => deltas(events, performance.length)),
    TICKS_PER_QUARTER,
  );
}

function conductor(performance: Performance): Timed[] {
  const meta = (at: Ticks, event: Undated): Timed => ({ at, rank: 0, event });
  return [
    meta(0, { meta: true, type: 'trackName', text: ascii(performance.title) }),
    meta(0, {
      meta: true,
      type: 'setTempo',
      microsecondsPerBeat: Math.round(60_000_000 / performance.quarterBpm),
    }),
    ...performance.meters.map(({ at, meter }) => meta(at, timeSignature(meter))),
    ...performance.keys.map(({ at, key }) => meta(at, keySignature(key))),
    ...performance.markers.map(({ at, text }) =>
      meta(at, { meta: true, type: 'marker', text: ascii(text) }),
    ),
  ];
}

/** Clocks a click: a dotted quarter in compound meters, else the unit of the meter. */
function timeSignature(meter: Meter): Undated {
  const unit = 96 / meter.unit;
  return {
    meta: true,
    type: 'timeSignature',
    numerator: meter.count,
    denominator: meter.unit,
    metronome: isCompound(meter) ? unit * 3 : unit,
    thirtyseconds: 8,
  };
}

/** Sharps positive, flats negative, folded into the seven either way that a file can hold. */
function keySignature(key: Key): Undated {
  const fifths = signatureOf(key);
  const folded = fifths > 7 ? fifths - 12 : fifths < -7 ? fifths + 12 : fifths;
  return {
    meta: true,
    type: 'keySignature',
    key: folded,
    scale: key.mode === 'major' ? 0 : 1,
  };
}

function playerEvents(track: PerformedTrack): Timed[] {
  const { channel } = track;
  const events: Timed[] = [
    {
      at: 0,
      rank: 0,
      event: { meta: true, type: 'trackName', text: ascii(track.name) },
    },
  ];
  if (track.program !== null) {
    const event: Undated = { type: 'programChange', channel, programNumber: track.program };
    events.push({ at: 0, rank: 1, event });
  }
  for (const note of track.notes) {
    events.push({
      at: note.start,
      rank: 3,
      event: { type: 'noteOn', channel, noteNumber: note.midi, velocity: note.velocity },
    });
    events.push({
      at: note.start + note.length,
      rank: 2,
      event: { type: 'noteOff', channel, noteNumber: note.midi, velocity: 64 },
    });
  }
  return events;
}

/** Turns absolute ticks into the deltas of a track. Whole ticks only: a fraction would shift all that follows. */
function deltas(events: readonly Timed[], length: Ticks): Writable[] {
  const inOrder = [...events].sort((a, b) => a.at - b.at || a.rank - b.rank);
  let now = 0;
  const track = inOrder.map(({ at, event }) => {
    if (!Number.isInteger(at)) throw new RangeError(`A MIDI event at ${at} is not on a whole tick`);
    const deltaTime = at - now;
    now = at;
    return { ...event, deltaTime } as Writable;
  });
  const end = { deltaTime: Math.max(0, length - now), meta: true, type: 'endOfTrack' } as Writable;
  return [...track, end];
}
