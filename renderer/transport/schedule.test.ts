import { describe, expect, it } from 'vitest';
import type { Performance } from '../../shared-core/performance/model.ts';
import { endOfPass, eventsBetween, lineUp, placeInStretch, secondsPerTick } from './schedule.ts';

const performance: Performance = {
  title: 'Four quarters',
  quarterBpm: 120,
  meters: [],
  keys: [],
  markers: [],
  chords: [],
  countIn: 0,
  length: 3840,
  tracks: [
    {
      chair: 'bass',
      name: 'Bass',
      channel: 0,
      program: 32,
      notes: [0, 960, 1920, 2880].map((start, index) => ({
        start,
        length: 960,
        midi: 40 + index,
        velocity: 80,
      })),
    },
  ],
};
const notes = lineUp(performance);
const spt = secondsPerTick(120);

describe('the schedule', () => {
  it('puts a quarter at 120 half a second after another', () => {
    const once = { from: 0, to: 3840, again: 0 };
    const events = eventsBetween(notes, once, { at: 10, tick: 0, spt }, 0, 3840);
    expect(events.map((event) => event.at)).toEqual([10, 10.5, 11, 11.5]);
  });

  it('gives every note once when asked in small pieces, through three repeats', () => {
    const loop = { from: 0, to: 3840, again: 1920 };
    const pieces = [];
    for (let at = 0; at < 3840 + 2 * 1920; at += 333) {
      const to = Math.min(at + 333, 3840 + 2 * 1920);
      pieces.push(...eventsBetween(notes, loop, { at: 0, tick: 0, spt }, at, to));
    }
    expect(pieces.map((event) => event.note.midi)).toEqual([40, 41, 42, 43, 42, 43, 42, 43]);
    expect(pieces.map((event) => Math.round(event.at * 2))).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
  });

  it('keeps the beat when the tempo changes on the way', () => {
    const once = { from: 0, to: 3840, again: 0 };
    // Two beats at 120 took one second; from there 60 to the minute.
    const slower = { at: 1, tick: 1920, spt: secondsPerTick(60) };
    const events = eventsBetween(notes, once, slower, 1920, 3840);
    expect(events.map((event) => event.at)).toEqual([1, 2]);
  });

  it('cuts a note where the stretch ends', () => {
    const short = { from: 0, to: 1440, again: 0 };
    const events = eventsBetween(notes, short, { at: 0, tick: 0, spt }, 0, 1440);
    expect(events.map((event) => event.seconds)).toEqual([0.5, 0.25]);
  });

  it('knows where it stands after a repeat', () => {
    const loop = { from: 960, to: 3840, again: 1920 };
    expect([0, 2879, 2880, 4800].map((run) => placeInStretch(loop, run))).toEqual([
      960, 3839, 1920, 1920,
    ]);
  });

  it('ends after the time round it stands in, when told to stop going round', () => {
    const loop = { from: 960, to: 3840, again: 1920 };
    expect([0, 2879, 2880, 4799, 4800].map((run) => endOfPass(loop, run))).toEqual([
      2880, 2880, 4800, 4800, 6720,
    ]);
  });
});
