import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { anyTune } from '../../tests/support/tunes.ts';
import { readTune } from './read.ts';
import { unroll } from './unroll.ts';
import { writeTune } from './write.ts';

describe('writing a tune and reading it back', () => {
  it('gives the same tune', () => {
    fc.assert(
      fc.property(anyTune, (written) => {
        const reading = readTune(writeTune(written));
        expect(reading.errors).toEqual([]);
        expect(reading.tune).toEqual(written);
      }),
      { numRuns: 300 },
    );
  });

  it('keeps an empty bar after a counted repeat', () => {
    const first = readTune('title: Count\n\n|: C :|x3 | | F |');
    expect(first.tune?.sections[0]?.bars).toHaveLength(3);
    expect(first.tune && readTune(writeTune(first.tune)).tune).toEqual(first.tune);
  });

  it('keeps an empty bar between two repeats', () => {
    const first = readTune('title: Between\n\n|: C :| / / / / |: F :|');
    expect(first.tune?.sections[0]?.bars).toHaveLength(3);
    expect(first.tune && readTune(writeTune(first.tune)).tune).toEqual(first.tune);
  });

  it('takes a comma in the name of a section for a space', () => {
    const first = readTune('title: T\n\n[A 1,2,]\n| C |');
    expect(first.tune?.sections[0]?.label).toBe('A 1 2');
    expect(first.tune && readTune(writeTune(first.tune)).tune).toEqual(first.tune);
  });

  it('takes a tab or another control character in a head line for a space', () => {
    const first = readTune('title:\u008cTabs\tand such \ncredit: An\tair\n\n| C |');
    expect(first.tune).toMatchObject({ title: 'Tabs and such', credit: 'An air' });
    expect(first.tune && readTune(writeTune(first.tune)).tune).toEqual(first.tune);
  });

  it('keeps marks, jumps and a pickup inside a repeat', () => {
    const text = [
      'title: Signs',
      'meter: 4/4',
      'pickup: 1',
      '',
      '|: N.C. | Segno C | F G7 To Coda | (3 beats) C :|',
      '| Am D.S. al Coda | Coda F Fine |',
      '',
    ].join('\n');
    const first = readTune(text);
    expect(first.errors).toEqual([]);
    if (!first.tune) throw new Error('nothing was read');
    expect(readTune(writeTune(first.tune)).tune).toEqual(first.tune);
  });
});

describe('a form played out', () => {
  it('is as long as its bars, without gaps in harmony, and no note crosses the next', () => {
    fc.assert(
      fc.property(anyTune, (written) => {
        const chorus = unroll(written);
        if (!chorus.ok) throw new Error(JSON.stringify(chorus.error));
        const { bars, harmony, melody, length } = chorus.value;
        expect(bars.reduce((sum, each) => sum + each.length, 0)).toBe(length);
        bars.forEach((each, i) => {
          expect(each.start).toBe(
            i === 0 ? 0 : (bars[i - 1]?.start ?? 0) + (bars[i - 1]?.length ?? 0),
          );
        });
        expect(harmony.reduce((sum, each) => sum + each.length, 0)).toBe(length);
        expect(harmony.every((each) => each.length > 0)).toBe(true);
        melody.forEach((note, i) => {
          expect(note.length).toBeGreaterThan(0);
          expect(note.start + note.length).toBeLessThanOrEqual(melody[i + 1]?.start ?? length);
        });
      }),
      { numRuns: 150 },
    );
  });
});
