import type { MidiEvent } from 'midi-file';

/**
 * Bytes of a Standard MIDI File, format 1. Written here because the general library that reads such files
 * well grows its output by copying it for every byte: a twelve-chorus arrangement took it twelve seconds.
 * It stays the reader that the tests hold these bytes to.
 *
 * Source of the layout: Standard MIDI Files 1.0 (RP-001); facts and bytes in tests/reference/midi.json.
 */

/** The events this program writes. */
export type Writable = Extract<
  MidiEvent,
  {
    type:
      | 'trackName'
      | 'marker'
      | 'setTempo'
      | 'timeSignature'
      | 'keySignature'
      | 'programChange'
      | 'noteOn'
      | 'noteOff'
      | 'endOfTrack';
  }
>;

/** Bytes that grow by doubling. */
class Bytes {
  private store = new Uint8Array(1024);
  length = 0;

  push(...values: readonly number[]): void {
    if (this.length + values.length > this.store.length) {
      const wider = new Uint8Array(Math.max(this.store.length * 2, this.length + values.length));
      wider.set(this.store);
      this.store = wider;
    }
    for (const value of values) this.store[this.length++] = value;
  }

  /** Seven bits a byte, high bit set on all but the last. */
  pushVariable(value: number): void {
    for (let shift = 21; shift > 0; shift -= 7) {
      if (value >= 1 << shift) this.push(((value >> shift) & 0x7f) | 0x80);
    }
    this.push(value & 0x7f);
  }

  pushText(text: string): void {
    for (const character of text) this.push(character.charCodeAt(0) & 0x7f);
  }

  done(): Uint8Array {
    return this.store.subarray(0, this.length);
  }
}

/**
 * A file from its tracks. Deltas are whole ticks below 2^28.
 *
 * @throws RangeError for a delta that a file cannot hold.
 */
export function smfBytes(
  tracks: readonly (readonly Writable[])[],
  ticksPerQuarter: number,
): Uint8Array {
  const chunks = tracks.map(trackBytes);
  const file = new Bytes();
  file.pushText('MThd');
  file.push(0, 0, 0, 6, 0, 1, tracks.length >> 8, tracks.length & 0xff);
  file.push(ticksPerQuarter >> 8, ticksPerQuarter & 0xff);
  const total = chunks.reduce((sum, chunk) => sum + 8 + chunk.length, file.length);
  const out = new Uint8Array(total);
  out.set(file.done());
  let at = file.length;
  for (const chunk of chunks) {
    const head = new Bytes();
    head.pushText('MTrk');
    head.push(
      chunk.length >>> 24,
      (chunk.length >> 16) & 0xff,
      (chunk.length >> 8) & 0xff,
      chunk.length & 0xff,
    );
    out.set(head.done(), at);
    out.set(chunk, at + 8);
    at += 8 + chunk.length;
  }
  return out;
}

function trackBytes(events: readonly Writable[]): Uint8Array {
  const bytes = new Bytes();
  for (const event of events) {
    if (!Number.isInteger(event.deltaTime) || event.deltaTime < 0 || event.deltaTime >= 1 << 28) {
      throw new RangeError(
        `A MIDI file holds whole deltas from 0 to 268435455, not ${event.deltaTime}`,
      );
    }
    bytes.pushVariable(event.deltaTime);
    bytes.push(...eventBytes(event));
  }
  return bytes.done();
}

/** Status and data bytes of an event, its delta aside. */
function eventBytes(event: Writable): readonly number[] {
  switch (event.type) {
    case 'noteOn':
      return [0x90 | event.channel, event.noteNumber, event.velocity];
    case 'noteOff':
      return [0x80 | event.channel, event.noteNumber, event.velocity];
    case 'programChange':
      return [0xc0 | event.channel, event.programNumber];
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
    case 'endOfTrack':
      return [0xff, 0x2f, 0];
  }
}

function metaText(type: number, text: string): readonly number[] {
  const bytes = new Bytes();
  bytes.push(0xff, type);
  bytes.pushVariable(text.length);
  bytes.pushText(text);
  return [...bytes.done()];
}
