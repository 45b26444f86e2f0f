import type { Ticks } from '../time/meter.ts';

/**
 * Bytes of a Standard MIDI File, format 1. Written here because the general library that reads such files
 * well grows its output by copying it for every byte: a twelve-chorus arrangement took it twelve seconds.
 * It stays the reader that the tests hold these bytes to.
 *
 * Source of the layout: Standard MIDI Files 1.0 (RP-001); facts and bytes in tests/reference/midi.json.
 */

/** The events this program writes beside notes. Channels 0-15, programs 0-127, key -7 flats to 7 sharps. */
export type Writable =
  | { readonly type: 'text' | 'trackName' | 'marker'; readonly text: string }
  | { readonly type: 'setTempo'; readonly microsecondsPerBeat: number }
  | {
      readonly type: 'timeSignature';
      readonly numerator: number;
      readonly denominator: number;
      readonly metronome: number;
      readonly thirtyseconds: number;
    }
  | { readonly type: 'keySignature'; readonly key: number; readonly scale: 0 | 1 }
  | { readonly type: 'programChange'; readonly channel: number; readonly programNumber: number };

/** Bytes that grow by doubling. */
class Bytes {
  private store = new Uint8Array(1024);
  length = 0;

  /** Makes room for so many more. */
  reserve(more: number): void {
    if (this.length + more <= this.store.length) return;
    const wider = new Uint8Array(Math.max(this.store.length * 2, this.length + more));
    wider.set(this.store);
    this.store = wider;
  }

  push(...values: readonly number[]): void {
    this.reserve(values.length);
    for (const value of values) this.store[this.length++] = value;
  }

  push3(first: number, second: number, third: number): void {
    this.reserve(3);
    this.store[this.length++] = first;
    this.store[this.length++] = second;
    this.store[this.length++] = third;
  }

  /** Seven bits a byte, high bit set on all but the last. */
  pushVariable(value: number): void {
    this.reserve(4);
    for (let shift = 21; shift > 0; shift -= 7) {
      if (value >= 1 << shift) this.store[this.length++] = ((value >> shift) & 0x7f) | 0x80;
    }
    this.store[this.length++] = value & 0x7f;
  }

  pushText(text: string): void {
    for (const character of text) this.push(character.charCodeAt(0) & 0x7f);
  }

  append(chunk: Uint8Array): void {
    this.reserve(chunk.length);
    this.store.set(chunk, this.length);
    this.length += chunk.length;
  }

  done(): Uint8Array {
    return this.store.slice(0, this.length);
  }
}

/** Bytes of one track, written in playing order. Times are absolute whole ticks, deltas below 2^28. */
export class TrackWriter {
  private readonly bytes = new Bytes();
  private now = 0;

  /** @throws RangeError for a tick before the last one, between ticks, or too far ahead for a file. */
  private moveTo(at: Ticks): void {
    const delta = at - this.now;
    if (!Number.isInteger(delta) || delta < 0 || delta >= 1 << 28)
      throw new RangeError(`A MIDI file holds whole deltas from 0 to 268435455, not ${delta}`);
    this.bytes.pushVariable(delta);
    this.now = at;
  }

  event(at: Ticks, event: Writable): void {
    this.moveTo(at);
    this.bytes.push(...eventBytes(event));
  }

  note(at: Ticks, on: boolean, channel: number, note: number, velocity: number): void {
    this.moveTo(at);
    this.bytes.push3((on ? 0x90 : 0x80) | channel, note, velocity);
  }

  /** The end of the track: not before its last event. */
  end(at: Ticks): void {
    this.moveTo(Math.max(at, this.now));
    this.bytes.push(0xff, 0x2f, 0);
  }

  done(): Uint8Array {
    return this.bytes.done();
  }
}

/** A file of format 1 from its tracks. */
export function smfBytes(tracks: readonly TrackWriter[], ticksPerQuarter: number): Uint8Array {
  const chunks = tracks.map((track) => track.done());
  const file = new Bytes();
  file.pushText('MThd');
  file.push(0, 0, 0, 6, 0, 1, tracks.length >> 8, tracks.length & 0xff);
  file.push(ticksPerQuarter >> 8, ticksPerQuarter & 0xff);
  for (const chunk of chunks) {
    const { length } = chunk;
    file.pushText('MTrk');
    file.push(length >>> 24, (length >> 16) & 0xff, (length >> 8) & 0xff, length & 0xff);
    file.append(chunk);
  }
  return file.done();
}

/** Status and data bytes of an event, its delta aside. */
function eventBytes(event: Writable): readonly number[] {
  switch (event.type) {
    case 'programChange':
      return [0xc0 | event.channel, event.programNumber];
    case 'text':
      return metaText(0x01, event.text);
    case 'trackName':
      return metaText(0x03, event.text);
    case 'marker':
      return metaText(0x06, event.text);
    case 'setTempo': {
      const tempo = event.microsecondsPerBeat;
      return [0xff, 0x51, 3, (tempo >> 16) & 0xff, (tempo >> 8) & 0xff, tempo & 0xff];
    }
    case 'timeSignature': {
      const power = Math.log2(event.denominator);
      return [0xff, 0x58, 4, event.numerator, power, event.metronome, event.thirtyseconds];
    }
    case 'keySignature':
      return [0xff, 0x59, 2, event.key & 0xff, event.scale];
  }
}

function metaText(type: number, text: string): readonly number[] {
  const bytes = new Bytes();
  bytes.push(0xff, type);
  bytes.pushVariable(text.length);
  bytes.pushText(text);
  return [...bytes.done()];
}
