import { Refusal } from '../errors.ts';
import { holdLimit, LIMITS } from '../limits.ts';

/** A note as it stands in the file. Times are absolute ticks of the file. Channels count from 1. */
export interface FileNote {
  readonly start: number;
  readonly end: number;
  readonly key: number;
  readonly velocity: number;
  readonly channel: number;
  readonly track: number;
}

/** A text event: its meta type (1 text, 3 name, 5 lyric, 6 marker, 7 cue). */
export interface FileText {
  readonly tick: number;
  readonly type: number;
  readonly text: string;
  readonly track: number;
}

/** All that a Standard MIDI File says that a tune can use. */
export interface MidiFile {
  /** Ticks of a quarter note. */
  readonly division: number;
  readonly notes: readonly FileNote[];
  readonly texts: readonly FileText[];
  /** Microseconds of a quarter note. */
  readonly tempos: readonly { readonly tick: number; readonly microseconds: number }[];
  readonly meters: readonly {
    readonly tick: number;
    readonly count: number;
    readonly unit: number;
  }[];
  readonly keys: readonly {
    readonly tick: number;
    readonly fifths: number;
    readonly minor: boolean;
  }[];
  /** Last tick of any event. */
  readonly end: number;
  readonly warnings: readonly string[];
}

interface Building {
  division: number;
  readonly notes: FileNote[];
  readonly texts: FileText[];
  readonly tempos: { tick: number; microseconds: number }[];
  readonly meters: { tick: number; count: number; unit: number }[];
  readonly keys: { tick: number; fifths: number; minor: boolean }[];
  end: number;
  events: number;
  unclosed: number;
  empty: number;
}

/**
 * Reads a Standard MIDI File, also inside a RIFF wrapper. Chunk lengths must lie within the file and
 * variable lengths within four bytes; SMPTE division is refused; bytes after the last track are passed
 * over. A note that is struck again while it sounds ends there; one of no length is left out and counted;
 * one that is never ended ends with its track and is counted. Note-on with velocity 0 is note-off.
 */
export function readMidiFile(bytes: Uint8Array): MidiFile {
  const data = unwrapped(bytes);
  const view = new DataView(data.buffer, data.byteOffset, data.byteLength);
  if (data.length < 14 || textAt(data, 0, 4) !== 'MThd') throw notMidi();
  const headerLength = view.getUint32(4);
  if (headerLength < 6 || headerLength > data.length - 8) throw broken('its header is damaged');
  const format = view.getUint16(8);
  if (format > 1) throw broken(`it is of format ${format}, which is no single piece`);
  const division = view.getUint16(12);
  if (division & 0x8000) throw broken('it counts in film frames (SMPTE), not in beats');
  if (division === 0) throw broken('its quarter note has no length');
  const file: Building = {
    division,
    notes: [],
    texts: [],
    tempos: [],
    meters: [],
    keys: [],
    end: 0,
    events: 0,
    unclosed: 0,
    empty: 0,
  };
  readTracks(file, data, view, 8 + headerLength, view.getUint16(10));
  file.notes.sort((a, b) => a.start - b.start || a.key - b.key);
  for (const list of [file.tempos, file.meters, file.keys, file.texts]) {
    list.sort((a: { tick: number }, b: { tick: number }) => a.tick - b.tick);
  }
  return { ...file, warnings: warningsOf(file) };
}

function readTracks(
  file: Building,
  data: Uint8Array,
  view: DataView,
  from: number,
  count: number,
): void {
  holdLimit(count, LIMITS.tracks, 'tracks');
  let at = from;
  let track = 0;
  while (track < count) {
    if (at + 8 > data.length) throw broken(`it ends after ${track} of its ${count} tracks`);
    const type = textAt(data, at, 4);
    const length = view.getUint32(at + 4);
    if (length > data.length - at - 8) throw broken(`track ${track + 1} is longer than the file`);
    // Chunks of other kinds may stand between the tracks and are passed over (SMF 1.0).
    if (type === 'MTrk') {
      new TrackReader(file, data.subarray(at + 8, at + 8 + length), track).read();
      track++;
    }
    at += 8 + length;
  }
}

/** The file inside `RIFF....RMID`, in its `data` chunk; other bytes as they are. */
function unwrapped(bytes: Uint8Array): Uint8Array {
  if (textAt(bytes, 0, 4) !== 'RIFF') return bytes;
  if (textAt(bytes, 8, 4) !== 'RMID') throw notMidi();
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let at = 12;
  while (at + 8 <= bytes.length) {
    const length = view.getUint32(at + 4, true);
    if (length > bytes.length - at - 8) throw broken('its RIFF wrapper is damaged');
    if (textAt(bytes, at, 4) === 'data') return bytes.subarray(at + 8, at + 8 + length);
    at += 8 + length + (length % 2);
  }
  throw broken('its RIFF wrapper holds no MIDI data');
}

function textAt(bytes: Uint8Array, at: number, length: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + length));
}

function notMidi(): Refusal {
  return new Refusal('import/midi', 'it is not a MIDI file. Choose a Standard MIDI File (.mid).');
}

function broken(what: string): Refusal {
  return new Refusal('import/midi', `${what}. Export it again as a Standard MIDI File.`);
}

/** Reads the events of one track. */
class TrackReader {
  private readonly file: Building;
  private readonly data: Uint8Array;
  private readonly track: number;
  private at = 0;
  private tick = 0;
  private status = 0;
  /** Sounding notes by channel and key: when and how hard they were struck. */
  private readonly sounding = new Map<number, { start: number; velocity: number }>();

  constructor(file: Building, data: Uint8Array, track: number) {
    this.file = file;
    this.data = data;
    this.track = track;
  }

  read(): void {
    while (this.at < this.data.length) {
      this.tick += this.variable();
      this.file.events++;
      holdLimit(this.file.events, LIMITS.events, 'events');
      if (!this.event()) break;
    }
    for (const id of [...this.sounding.keys()]) {
      this.file.unclosed++;
      this.noteOff(id >> 7, id & 127);
    }
    this.file.end = Math.max(this.file.end, this.tick);
  }

  /** One event; false at the end of the track. */
  private event(): boolean {
    const first = this.data[this.at] ?? 0;
    if (first >= 0x80) {
      this.status = first;
      this.at++;
    }
    if (this.status === 0xff) return this.meta();
    if (this.status === 0xf0 || this.status === 0xf7) {
      this.take(this.variable());
      this.status = 0;
      return true;
    }
    if (this.status < 0x80 || this.status > 0xef) throw this.damaged();
    this.channelEvent();
    return true;
  }

  private channelEvent(): void {
    const kind = this.status >> 4;
    const channel = (this.status & 15) + 1;
    const bytes = this.take(kind === 0xc || kind === 0xd ? 1 : 2);
    const [key = 0, velocity = 0] = bytes;
    if (bytes.some((byte) => byte > 127)) throw this.damaged();
    if (kind === 9 && velocity > 0) {
      this.noteOff(channel, key);
      this.sounding.set((channel << 7) | key, { start: this.tick, velocity });
    } else if (kind === 8 || kind === 9) {
      this.noteOff(channel, key);
    }
  }

  private noteOff(channel: number, key: number): void {
    const id = (channel << 7) | key;
    const on = this.sounding.get(id);
    if (!on) return;
    this.sounding.delete(id);
    if (on.start === this.tick) {
      this.file.empty++;
      return;
    }
    this.file.notes.push({
      start: on.start,
      end: this.tick,
      key,
      velocity: on.velocity,
      channel,
      track: this.track,
    });
  }

  private meta(): boolean {
    const type = this.data[this.at++] ?? 0;
    const bytes = this.take(this.variable());
    const { tick, track } = this;
    this.status = 0;
    if (type === 0x2f) return false;
    if (type >= 1 && type <= 7) {
      const text = decoded(bytes).replace(/\0+$/u, '').trim();
      if (text !== '') this.file.texts.push({ tick, type, text: text.slice(0, 200), track });
    } else if (type === 0x51 && bytes.length === 3) {
      const microseconds = ((bytes[0] ?? 0) << 16) | ((bytes[1] ?? 0) << 8) | (bytes[2] ?? 0);
      if (microseconds > 0) this.file.tempos.push({ tick, microseconds });
    } else if (type === 0x58 && bytes.length >= 2) {
      this.file.meters.push({ tick, count: bytes[0] ?? 4, unit: 2 ** Math.min(bytes[1] ?? 2, 8) });
    } else if (type === 0x59 && bytes.length >= 2) {
      const fifths = ((bytes[0] ?? 0) << 24) >> 24;
      if (Math.abs(fifths) <= 7) this.file.keys.push({ tick, fifths, minor: bytes[1] === 1 });
    }
    return true;
  }

  private take(length: number): Uint8Array {
    if (length > this.data.length - this.at) throw this.damaged();
    const bytes = this.data.subarray(this.at, this.at + length);
    this.at += length;
    return bytes;
  }

  /** A variable-length quantity, at most four bytes. */
  private variable(): number {
    let value = 0;
    for (let i = 0; i < 4; i++) {
      const byte = this.data[this.at++];
      if (byte === undefined) throw this.damaged();
      value = (value << 7) | (byte & 0x7f);
      if (byte < 0x80) return value;
    }
    throw this.damaged();
  }

  private damaged(): Refusal {
    return broken(`track ${this.track + 1} is damaged at its byte ${this.at}`);
  }
}

function decoded(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

function warningsOf(file: Building): string[] {
  const warnings: string[] = [];
  const counted = (count: number) => (count === 1 ? 'One note' : `${count} notes`);
  if (file.unclosed > 0) {
    warnings.push(`${counted(file.unclosed)} never ended; closed at the end of the track.`);
  }
  if (file.empty > 0) warnings.push(`${counted(file.empty)} without length left out.`);
  return warnings;
}
