import { describe, expect, it } from 'vitest';
import { parseKey } from '../pitch/key.ts';
import { barTicks, beatTicks, parseMeter } from '../time/meter.ts';
import { asClock, secondsOf } from './duration.ts';
import { flowWords, keyWords } from './flow.ts';
import { layOutSet, type SetEntry } from './lay-out.ts';

function key(text: string) {
  const read = parseKey(text);
  if (!read) throw new Error(text);
  return read;
}

function meter(text: string) {
  const read = parseMeter(text);
  if (!read) throw new Error(text);
  return read;
}

function entry(given: Partial<SetEntry> = {}): SetEntry {
  return {
    key: key('Bb major'),
    meter: meter('4/4'),
    tempo: 120,
    tempoGiven: true,
    feel: 'medium swing',
    choruses: 1,
    chorusLength: 32 * 3840,
    pause: 0,
    ...given,
  };
}

/**
 * Durations of forms: bars x beats a bar x 60 / bpm. Common practice, no source; the figures were computed
 * apart from this program. Columns: what, bars (extra ones included), meter, counted beat in ticks or null
 * for the meter's own, bpm, choruses, extra bars, seconds, clock.
 */
const DURATIONS = [
  ['32-bar AABA, medium', 32, '4/4', null, 120, 1, 0, 64, '1:04'],
  ['32-bar AABA, up', 32, '4/4', null, 240, 1, 0, 32, '0:32'],
  ['32-bar ballad', 32, '4/4', null, 60, 1, 0, 128, '2:08'],
  ['32-bar, 5 choruses', 32, '4/4', null, 160, 5, 0, 240, '4:00'],
  ['12-bar blues', 12, '4/4', null, 120, 1, 0, 24, '0:24'],
  ['12-bar blues, 10 choruses', 12, '4/4', null, 144, 10, 0, 200, '3:20'],
  ['32-bar waltz', 32, '3/4', null, 150, 1, 0, 38.4, '0:38'],
  ['jazz waltz, 4 choruses', 32, '3/4', null, 180, 4, 0, 128, '2:08'],
  ['16-bar bossa', 16, '4/4', null, 132, 1, 0, 29.091, '0:29'],
  ['32-bar bossa counted in two', 32, '4/4', 1920, 70, 1, 0, 54.857, '0:55'],
  ['24-bar in 6/8', 24, '6/8', null, 60, 1, 0, 48, '0:48'],
  ['24-bar in 5/4', 24, '5/4', null, 174, 1, 0, 41.379, '0:41'],
  ['4-bar intro, 3 choruses, 2-bar tag', 32, '4/4', null, 120, 3, 6, 204, '3:24'],
  ['two static bars', 2, '4/4', null, 120, 1, 0, 4, '0:04'],
  ['four static bars', 4, '4/4', null, 120, 1, 0, 8, '0:08'],
] as const;

describe('durations', () => {
  it.each(DURATIONS)('%s', (_what, bars, name, beat, bpm, choruses, extra, seconds, clock) => {
    const signature = meter(name);
    const length = (bars * choruses + extra) * barTicks(signature);
    const time = secondsOf(length, beat ?? beatTicks(signature), bpm);
    expect(time).toBeCloseTo(seconds, 3);
    expect(asClock(time)).toBe(clock);
  });

  it('show hours only where there are any', () => {
    expect([asClock(0), asClock(59.6), asClock(3599.4), asClock(3671)]).toEqual([
      '0:00',
      '1:00',
      '59:59',
      '1:01:11',
    ]);
  });

  it.each([0, -10, Number.NaN])('refuse a tempo of %d', (bpm) => {
    expect(() => secondsOf(3840, 960, bpm)).toThrow(RangeError);
  });
});

describe('the way from key to key', () => {
  // Interval names: common practice, no source.
  it.each([
    ['Bb major', 'Bb major', 'same key'],
    ['Bb major', 'Eb major', 'up a fourth'],
    ['C major', 'G major', 'down a fourth'],
    ['C major', 'A minor', 'relative minor'],
    ['C minor', 'Eb major', 'relative major'],
    ['C major', 'C minor', 'same tonic to minor'],
    ['C major', 'F# major', 'a tritone away'],
    ['D major', 'E minor', 'up a tone to minor'],
    ['F# major', 'Gb major', 'same key'],
  ])('from %s to %s is %j', (before, after, words) => {
    expect(keyWords(key(before), key(after))).toBe(words);
  });

  it('is told together with the tempo', () => {
    const side = (name: string, quarterBpm: number) => ({ key: key(name), quarterBpm, feel: null });
    expect(flowWords(side('Bb major', 120), side('Eb major', 60))).toBe(
      'up a fourth, half as fast',
    );
    expect(flowWords(side('C major', 120), side('C major', 152))).toBe('same key, 32 bpm faster');
    expect(flowWords(side('C major', 200), side('C major', 196))).toBe('same key, same tempo');
  });
});

describe('a set', () => {
  it('adds up playing times and pauses, without a pause after the last tune', () => {
    const set = layOutSet([entry({ pause: 20 }), entry({ choruses: 2, pause: 30 })]);
    expect(set.entries.map((row) => [row.startsAt, row.seconds])).toEqual([
      [0, 64],
      [84, 128],
    ]);
    expect(set.seconds).toBe(212);
  });

  it('remarks on neighbours that sound alike, a run in one key, and a tempo nobody wrote', () => {
    const set = layOutSet([
      entry(),
      entry(),
      entry({ tempo: 200, tempoGiven: false }),
      entry({ key: key('F major') }),
    ]);
    expect(set.entries.map((row) => row.remarks)).toEqual([
      [],
      ['same key, tempo and feel as the tune before'],
      ['no tempo is written; timed at 200', '3 tunes in a row in this key'],
      [],
    ]);
  });

  it('says once that neighbours sound alike', () => {
    const [, alike, otherFeel] = layOutSet([entry(), entry(), entry({ feel: 'ballad' })]).entries;
    expect(alike).toMatchObject({
      flow: null,
      remarks: ['same key, tempo and feel as the tune before'],
    });
    expect(otherFeel?.flow).toBe('same key, same tempo');
  });

  it('compares tempos counted in different beats by their quarters', () => {
    const set = layOutSet([
      entry({ meter: meter('6/8'), tempo: 80, chorusLength: 2880 }),
      entry({ tempo: 120, feel: 'bossa nova' }),
    ]);
    expect(set.entries[1]?.flow).toBe('same key, same tempo');
  });

  it('may be empty', () => {
    expect(layOutSet([])).toEqual({ entries: [], seconds: 0 });
  });
});
