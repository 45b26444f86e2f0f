import { readFileSync } from 'node:fs';
import ToneMidi from '@tonejs/midi';
import { type MidiEvent, parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { emptyArrangement, fold } from '../../shared-core/arrangement/fold.ts';
import { midiBytes } from '../../shared-core/performance/midi.ts';
import type { Performance } from '../../shared-core/performance/model.ts';
import { KIT } from '../../shared-core/performance/patterns.ts';
import { perform } from '../../shared-core/performance/perform.ts';
import { INSTRUMENTS } from '../../shared-core/pitch/instruments.ts';
import { type Key, parseKey } from '../../shared-core/pitch/key.ts';
import { parseMeter } from '../../shared-core/time/meter.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';
import { TEST_BAND } from '../support/band.ts';

// Facts and bytes of the Standard MIDI File specification (RP-001) and General MIDI level 1 (RP-003); the
// sources of every row stand in the reference file.
const facts = JSON.parse(readFileSync(new URL('../reference/midi.json', import.meta.url), 'utf8'));

function played(
  text: string,
  choruses = 2,
  options: Parameters<typeof perform>[0]['options'] = {},
): Performance {
  const { tune, errors } = readTune(text);
  if (!tune || errors.length > 0) throw new Error(JSON.stringify(errors));
  const chorus = unroll(tune);
  if (!chorus.ok) throw new Error(chorus.error.code);
  const key = tune.key ?? (parseKey('C major') as Key);
  return perform({
    tune,
    chorus: chorus.value,
    key,
    state: emptyArrangement('T', choruses),
    band: TEST_BAND,
    options,
  });
}

const BLUES = `title: Test blues
key: F major
meter: 4/4
tempo: 132
feel: medium swing
[A]
| F7 | Bb7 | F7 | Cm7 F7 | Bb7 | Bdim7 | F7 | D7b9 | Gm7 | C7 | F7 D7 | N.C. |
`;

/** Note-ons and note-offs of a track with absolute ticks. */
function notesIn(track: readonly MidiEvent[]): { on: [number, number][]; off: [number, number][] } {
  let at = 0;
  const on: [number, number][] = [];
  const off: [number, number][] = [];
  for (const event of track) {
    at += event.deltaTime;
    if (event.type === 'noteOn' && event.velocity > 0) on.push([at, event.noteNumber]);
    if (event.type === 'noteOff' || (event.type === 'noteOn' && event.velocity === 0))
      off.push([at, event.noteNumber]);
  }
  return { on, off };
}

describe('our MIDI files, read again', () => {
  const performance = played(BLUES);
  const bytes = midiBytes(performance);

  it('are format 1 with 960 ticks to the quarter and one track a chair beside the conductor', () => {
    const { header, tracks } = parseMidi(bytes);
    expect(header).toMatchObject({ format: 1, ticksPerBeat: 960, numTracks: 7 });
    expect(tracks).toHaveLength(7);
  });

  it('give the same notes at the same ticks to a raw parser', () => {
    const { tracks } = parseMidi(bytes);
    performance.tracks.forEach((track, index) => {
      const read = notesIn(tracks[index + 1] ?? []);
      expect(read.on.sort()).toEqual(track.notes.map((note) => [note.start, note.midi]).sort());
      expect(read.off.sort()).toEqual(
        track.notes.map((note) => [note.start + note.length, note.midi]).sort(),
      );
    });
  });

  it('give the same notes, names, channels, programs, tempo, meter and key to a second library', () => {
    const read = new ToneMidi.Midi(bytes);
    expect(read.header.tempos[0]?.bpm).toBeCloseTo(132, 2);
    expect(read.header.timeSignatures[0]?.timeSignature).toEqual([4, 4]);
    expect(read.header.keySignatures[0]).toMatchObject({ key: 'F', scale: 'major' });
    const tracks = read.tracks.filter((track) => track.notes.length > 0);
    expect(tracks.map((track) => track.name)).toEqual(
      performance.tracks.map((track) => track.name),
    );
    tracks.forEach((track, index) => {
      const ours = performance.tracks[index];
      expect(track.channel).toBe(ours?.channel);
      if (ours?.program != null) expect(track.instrument.number).toBe(ours.program);
      const theirs = track.notes
        .map((note) => `${note.ticks}+${note.durationTicks}:${note.midi}`)
        .sort();
      expect(theirs).toEqual(
        ours?.notes.map((note) => `${note.start}+${note.length}:${note.midi}`).sort(),
      );
    });
  });

  it('name every chorus and section in plain ASCII, after the count-in', () => {
    const texts = (parseMidi(bytes).tracks[0] ?? []).filter((event) => event.type === 'marker');
    expect(texts.map((event) => ('text' in event ? event.text : ''))).toEqual([
      'Count-in',
      'Chorus 1',
      'Section A',
      'Chorus 2',
      'Section A',
    ]);
  });

  it('put programs before notes, and every note-off before the next note-on of its pitch', () => {
    for (const track of parseMidi(bytes).tracks) {
      const sounding = new Set<number>();
      let heard = false;
      for (const event of track) {
        if (event.type === 'programChange') expect(heard).toBe(false);
        if (event.type === 'noteOff') sounding.delete(event.noteNumber);
        if (event.type !== 'noteOn') continue;
        heard = true;
        expect(sounding.has(event.noteNumber)).toBe(false);
        sounding.add(event.noteNumber);
      }
      expect(sounding.size).toBe(0);
    }
  });

  it('are silent in comping and bass where the chart says N.C.', () => {
    const bar = (n: number): number => performance.countIn + (n - 1) * 3840;
    for (const chair of ['guitar', 'piano', 'bass']) {
      const notes = performance.tracks.find((track) => track.chair === chair)?.notes ?? [];
      expect(notes.length).toBeGreaterThan(0);
      const sounding = notes.filter(
        (note) => note.start < bar(13) && note.start + note.length > bar(12),
      );
      expect(sounding).toEqual([]);
    }
  });

  it('leave one chair out of its minus-one and keep all others as they were', () => {
    const minus = played(BLUES, 2, { without: 'guitar' });
    expect(minus.tracks.map((track) => track.chair)).not.toContain('guitar');
    const piano = (one: Performance) => one.tracks.find((track) => track.chair === 'bass')?.notes;
    expect(piano(minus)).toEqual(piano(performance));
  });

  it('halve the tempo and nothing else at half speed', () => {
    const slow = played(BLUES, 2, { speed: 0.5 });
    expect(slow.quarterBpm).toBe(66);
    expect(slow.tracks).toEqual(performance.tracks);
  });

  it('play one chorus alone as a loop of exactly its length', () => {
    const loop = played(BLUES, 3, { choruses: { from: 1, to: 1 }, countInBars: 0 });
    expect(loop.length).toBe(12 * 3840);
    expect(
      Math.max(
        ...loop.tracks.flatMap((track) => track.notes.map((note) => note.start + note.length)),
      ),
    ).toBeLessThanOrEqual(12 * 3840);
  });
});

describe('bytes of the specification', () => {
  function bytesOf(text: string): string {
    return [...midiBytes(played(text))]
      .map((byte) => byte.toString(16).padStart(2, '0').toUpperCase())
      .join(' ');
  }

  interface KeyRow {
    key: string;
    bytes: string;
  }
  it.each((facts.key_signature_bytes as KeyRow[]).map((row) => [row.key, row.bytes]))(
    'writes the key of %s as %s',
    (key, bytes) => {
      const played = bytesOf(`title: K\nkey: ${key}\nmeter: 4/4\n[A]\n| C | C |\n`);
      expect(played).toContain(bytes);
    },
  );

  interface TempoRow {
    quarter_notes_per_minute: number;
    bytes: string;
  }
  const tempi = (facts.tempo_bytes as TempoRow[]).filter((row) =>
    Number.isInteger(row.quarter_notes_per_minute),
  );
  it.each(tempi.map((row) => [row.quarter_notes_per_minute, row.bytes]))(
    'writes %s quarters a minute as %s',
    (tempo, bytes) => {
      expect(bytesOf(`title: K\nkey: C\nmeter: 4/4\ntempo: ${tempo}\n[A]\n| C | C |\n`)).toContain(
        bytes,
      );
    },
  );

  interface MeterRow {
    time: string;
    bytes: string;
  }
  const meters = (facts.time_signature_bytes as MeterRow[]).filter(
    (row) => parseMeter(row.time) !== null,
  );
  it.each(meters.map((row) => [row.time, row.bytes]))('writes %s as %s', (time, bytes) => {
    expect(bytesOf(`title: K\nkey: C\nmeter: ${time}\n[A]\n| C | C |\n`)).toContain(bytes);
  });

  it('uses General MIDI programs and percussion keys of the published map', () => {
    const programs = new Map(
      (facts.gm_programs as { program_zero_based: number; name: string }[]).map((row) => [
        row.program_zero_based,
        row.name,
      ]),
    );
    const used = INSTRUMENTS.filter(
      (instrument) => instrument.program !== null && programs.has(instrument.program),
    );
    expect(used.length).toBeGreaterThan(10);
    const keys = new Map(
      (facts.gm_percussion_key_map as { note: number; name: string }[]).map((row) => [
        row.note,
        row.name,
      ]),
    );
    const names = Object.values(KIT).map((key) => keys.get(key));
    expect(names).toEqual([
      'Bass Drum 1',
      'Side Stick',
      'Acoustic Snare',
      'Pedal Hi-Hat',
      'Closed Hi-Hat',
      'Ride Cymbal 1',
      'Crash Cymbal 1',
    ]);
  });
});

describe('exports of any small arrangement', () => {
  it('hold whole ticks only, whatever the tempo and swing', () => {
    for (const tempo of [50, 97, 133, 181, 260]) {
      for (const meter of ['3/4', '4/4', '5/4', '6/8', '12/8']) {
        const one = played(
          `title: T\nkey: C\nmeter: ${meter}\ntempo: ${tempo}\n[A]\n| Cmaj7 | Am7 | Dm7 | G7 |\n`,
        );
        for (const note of one.tracks.flatMap((track) => track.notes)) {
          expect(
            Number.isInteger(note.start) && Number.isInteger(note.length) && note.length > 0,
          ).toBe(true);
        }
        expect(fold(emptyArrangement('T', 1), []).ok).toBe(true);
      }
    }
  });
});
