import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { smfBytes, TrackWriter } from './smf.ts';

const bytesOf = (write: (track: TrackWriter) => void): number[] => {
  const track = new TrackWriter();
  write(track);
  return [...track.done()];
};

describe('a track of a MIDI file', () => {
  // Variable-length quantities: the examples of the specification (Standard MIDI Files 1.0, RP-001), as far
  // as four bytes go.
  it.each([
    [0x00, [0x00]],
    [0x40, [0x40]],
    [0x7f, [0x7f]],
    [0x80, [0x81, 0x00]],
    [0x2000, [0xc0, 0x00]],
    [0x3fff, [0xff, 0x7f]],
    [0x4000, [0x81, 0x80, 0x00]],
    [0x100000, [0xc0, 0x80, 0x00]],
    [0x1fffff, [0xff, 0xff, 0x7f]],
    [0x200000, [0x81, 0x80, 0x80, 0x00]],
    [0x8000000, [0xc0, 0x80, 0x80, 0x00]],
    [0xfffffff, [0xff, 0xff, 0xff, 0x7f]],
  ])('writes a delta of %s as the specification does', (delta, bytes) => {
    expect(bytesOf((track) => track.end(delta))).toEqual([...bytes, 0xff, 0x2f, 0x00]);
  });

  it('refuses to go back, to stand between ticks, and a delta no file can hold', () => {
    const track = new TrackWriter();
    track.note(960, true, 0, 60, 64);
    expect(() => track.note(959, false, 0, 60, 64)).toThrow(RangeError);
    expect(() => track.note(960.5, false, 0, 60, 64)).toThrow(RangeError);
    expect(() => track.note(960 + 2 ** 28, false, 0, 60, 64)).toThrow(RangeError);
  });

  it('never ends before its last event', () => {
    const track = new TrackWriter();
    track.note(960, true, 2, 60, 64);
    track.note(1920, false, 2, 60, 64);
    track.end(1000);
    const { tracks } = parseMidi(smfBytes([track], 960));
    expect(tracks[0]?.map(({ deltaTime, type }) => [deltaTime, type])).toEqual([
      [960, 'noteOn'],
      [960, 'noteOff'],
      [0, 'endOfTrack'],
    ]);
  });

  it('holds more than a kilobyte', () => {
    const track = new TrackWriter();
    for (let at = 0; at < 3000; at++) track.note(at, at % 2 === 0, 0, 60, 64);
    track.end(3000);
    expect(parseMidi(smfBytes([track, track], 960)).tracks.map(({ length }) => length)).toEqual([
      3001, 3001,
    ]);
  });
});
