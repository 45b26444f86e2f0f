import { describe, expect, it } from 'vitest';
import { symbolOf } from '../../../shared-core/chord/format.ts';
import { keyName } from '../../../shared-core/pitch/key.ts';
import { pitchName } from '../../../shared-core/pitch/spelled.ts';
import { addressOf } from '../../../shared-core/tune/address.ts';
import type { Tune } from '../../../shared-core/tune/model.ts';
import { unroll } from '../../../shared-core/tune/unroll.ts';
import { Refusal } from '../errors.ts';
import { importFile } from '../index.ts';
import { readMidiFile } from './file.ts';

/** Variable-length quantity (Standard MIDI Files 1.0). */
function variable(value: number): number[] {
  const bytes = [value & 0x7f];
  for (let rest = value >> 7; rest > 0; rest >>= 7) bytes.unshift((rest & 0x7f) | 0x80);
  return bytes;
}

const chars = (text: string) => [...text].map((character) => character.charCodeAt(0));
const long = (value: number) => [24, 16, 8, 0].map((shift) => (value >> shift) & 255);
const END = [0, 0xff, 0x2f, 0];

function track(...events: number[][]): number[] {
  const body = [...events.flat(), ...END];
  return [...chars('MTrk'), ...long(body.length), ...body];
}

function midi(tracks: number[][], division = 480, format = tracks.length > 1 ? 1 : 0): Uint8Array {
  return new Uint8Array([
    ...chars('MThd'),
    ...long(6),
    0,
    format,
    0,
    tracks.length,
    division >> 8,
    division & 255,
    ...tracks.flat(),
  ]);
}

const text = (delta: number, type: number, words: string) => [
  ...variable(delta),
  0xff,
  type,
  words.length,
  ...chars(words),
];
const meter = (delta: number, count: number, power: number) => [
  ...variable(delta),
  0xff,
  0x58,
  4,
  count,
  power,
  24,
  8,
];
const tempo = (microseconds: number) => [0, 0xff, 0x51, 3, ...long(microseconds).slice(1)];
const note = (delta: number, key: number, length: number, channel = 0) => [
  ...variable(delta),
  0x90 | channel,
  key,
  80,
  ...variable(length),
  0x80 | channel,
  key,
  0,
];

async function tuneOf(bytes: Uint8Array): Promise<{ tune: Tune; warnings: readonly string[] }> {
  const result = await importFile('tune.mid', bytes);
  if (!result.ok) throw new Error(result.error.message);
  return { tune: result.value.tunes[0] as Tune, warnings: result.value.warnings };
}

function refusal(bytes: Uint8Array): string {
  try {
    readMidiFile(bytes);
  } catch (error) {
    if (error instanceof Refusal) return error.message;
    throw error;
  }
  throw new Error('it was read');
}

const notesOf = (bytes: Uint8Array) =>
  readMidiFile(bytes).notes.map(
    ({ channel, key, velocity, start, end }) => `${channel}:${key}(${velocity}) ${start}-${end}`,
  );

describe('events of a MIDI file', () => {
  it('run on under one status; velocity 0 ends a note; an open note ends with its track', () => {
    const body = [0x00, 0x99, 0x23, 0x50, 0x00, 0x31, 0x50, 0x77, 0x23, 0x00];
    const file = midi([track(body)]);
    expect(notesOf(file)).toEqual(['10:35(80) 0-119', '10:49(80) 0-119']);
    expect(readMidiFile(file).warnings).toEqual([
      'One note never ended; closed at the end of the track.',
    ]);
  });

  it('of no length are left out and counted; the next note keeps its own', () => {
    const file = midi([track(note(1000, 72, 0), note(1000, 72, 240))]);
    expect(notesOf(file)).toEqual(['1:72(80) 2000-2240']);
    expect(readMidiFile(file).warnings).toEqual(['One note without length left out.']);
  });

  it('are the same with a byte too many at the end, and inside a RIFF wrapper', () => {
    const plain = midi([track(note(0, 60, 480), note(0, 64, 480))]);
    const little = (value: number) => long(value).reverse();
    const wrapped = new Uint8Array([
      ...chars('RIFF'),
      ...little(plain.length + 12),
      ...chars('RMID'),
      ...chars('data'),
      ...little(plain.length),
      ...plain,
    ]);
    expect(notesOf(new Uint8Array([...plain, 0x0a]))).toEqual(notesOf(plain));
    expect(notesOf(wrapped)).toEqual(notesOf(plain));
  });

  it('are refused where the file is cut off, counts in frames, or is of several pieces', () => {
    const plain = midi([track(note(0, 60, 480))]);
    for (let length = 0; length < plain.length; length++) {
      expect(refusal(plain.subarray(0, length)), `${length} bytes`).toMatch(/\.$/u);
    }
    expect(refusal(midi([track()], 0xe728))).toContain('SMPTE');
    expect(refusal(midi([track()], 480, 2))).toContain('format 2');
    expect(refusal(midi([track()], 0))).toContain('no length');
    expect(refusal(midi([track([0xff, 0xff, 0xff, 0xff, 0x7f, 0x90, 60, 80])]))).toContain(
      'damaged',
    );
    expect(refusal(midi([track([0, 60, 80])]))).toContain('damaged');
  });
});

describe('a MIDI file as a tune', () => {
  it('counts its bars by its meters', async () => {
    const file = midi([track(meter(0, 12, 3), meter(5760, 4, 2), note(0, 60, 480))]);
    const { tune } = await tuneOf(file);
    const chorus = unroll(tune);
    if (!chorus.ok) throw new Error(chorus.error.code);
    expect(chorus.value.bars.map(({ length }) => length / 2)).toEqual([2880, 2880, 1920]);
    expect(addressOf(chorus.value, chorus.value.melody[0]?.start ?? 0)).toEqual({
      bar: 3,
      beat: 1,
    });
    expect(tune.sections[0]?.bars[2]?.meter).toEqual({ count: 4, unit: 4 });
  });

  it('finds the tempo on any track, and is 120 in 4/4 where nothing is said', async () => {
    const fast = midi([track(), track(tempo(260_870), note(0, 60, 480))]);
    expect((await tuneOf(fast)).tune.tempo).toBe(230);
    const bare = (await tuneOf(midi([track(note(0, 60, 480))]))).tune;
    expect(bare.tempo).toBe(120);
    expect(bare.meter).toEqual({ count: 4, unit: 4 });
  });

  it('counts the tempo in dotted beats in 6/8', async () => {
    const file = midi([track(meter(0, 6, 3), tempo(500_000), note(0, 60, 480))]);
    expect((await tuneOf(file)).tune.tempo).toBe(80);
  });

  it('takes chords from text events and sections from markers', async () => {
    const file = midi([
      track(
        [0, 0xff, 0x59, 2, 0xfd, 0],
        text(0, 3, 'Night Walk'),
        text(0, 6, 'A'),
        text(0, 1, 'Ebmaj7'),
        text(1920, 1, 'Fm7'),
        text(960, 1, 'Bb7'),
        text(960, 6, 'B'),
        text(0, 1, 'Ab6'),
        note(0, 72, 1920),
      ),
    ]);
    const { tune } = await tuneOf(file);
    expect(tune.title).toBe('Night Walk');
    expect(tune.key && keyName(tune.key)).toBe('Eb major');
    expect(
      tune.sections.map(
        ({ label, bars }) =>
          `${label}: ${bars.map((bar) => bar.harmony.map((e) => `${symbolOf(e.harmony)}@${e.at}`).join(' ')).join(' | ')}`,
      ),
    ).toEqual(['A: Ebmaj7@0 | Fm7@0 Bb7@1920', 'B: Ab6@0']);
  });

  it('names sections with their choruses, where there is more than one chorus', async () => {
    const chorus = (nth: number, wait: number) => [
      text(wait, 6, `Chorus ${nth}`),
      text(0, 6, 'Section A'),
      text(0, 1, 'Cm7'),
      text(1920, 6, 'Section B'),
      text(0, 1, 'F7'),
    ];
    const labels = async (...events: Parameters<typeof track>) =>
      (await tuneOf(midi([track(...events)]))).tune.sections.map(({ label }) => label);
    const end = note(0, 60, 1920);
    expect(await labels(...chorus(2, 0), end)).toEqual(['A', 'B']);
    expect(await labels(...chorus(1, 0), ...chorus(2, 1920), end)).toEqual([
      'Chorus 1 A',
      'B',
      'Chorus 2 A',
      'B',
    ]);
  });

  it('leaves the bars counted in out of the tune, unless more than drums plays in them', async () => {
    const counted = (channel: number) =>
      midi([
        track(text(0, 6, 'Count-in'), text(1920, 6, 'Section Verse'), text(0, 1, 'Cm7')),
        track(note(0, 37, 480, channel), note(1440, 60, 1920, 1)),
      ]);
    const { tune } = await tuneOf(counted(9));
    expect(tune.sections.map(({ label, bars }) => `${label} ${bars.length}`)).toEqual(['Verse 1']);
    expect(tune.sections[0]?.bars[0]?.harmony.map(({ at }) => at)).toEqual([0]);
    const played = (await tuneOf(counted(2))).tune;
    expect(played.sections.map(({ label }) => label)).toEqual(['Count-in', 'Verse']);
  });

  it('takes the melody from the track that plays one high note at a time, spelled by chord and key', async () => {
    const file = midi([
      track([0, 0xff, 0x59, 2, 0xfd, 0], text(0, 1, 'Ebm7')),
      track(note(0, 39, 480, 1), note(0, 46, 480, 1)),
      track(note(0, 78, 470, 2), note(10, 75, 480, 2)),
      track(note(0, 90, 480, 9)),
    ]);
    const { tune } = await tuneOf(file);
    const melody = tune.sections[0]?.bars[0]?.melody ?? [];
    expect(melody.map((n) => `${pitchName(n.pitch)} ${n.at}+${n.length}`)).toEqual([
      'Gb5 0+960',
      'Eb5 960+960',
    ]);
  });

  it('says when there are no chords in it', async () => {
    const { warnings } = await tuneOf(midi([track(note(0, 60, 480))]));
    expect(warnings.join(' ')).toContain('no chord symbols');
  });

  it('is refused by a plain sentence when it is text', async () => {
    const result = await importFile('walk.mid', new TextEncoder().encode('| C | F |'));
    expect(!result.ok && result.error.code).toBe('import/midi');
    expect(!result.ok && result.error.message).toContain('walk.mid');
  });
});
