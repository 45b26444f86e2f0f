import { describe, expect, it } from 'vitest';
import { emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import { symbolOf } from '../../shared-core/chord/format.ts';
import type { Chorus } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';
import { harmonyOf } from '../engine/wire.ts';
import { barText, readHand, standingHarmony } from './hand-text.ts';

function chorusOf(text: string): Chorus {
  const { tune } = readTune(text);
  const unrolled = tune && unroll(tune);
  if (!unrolled?.ok) throw new Error('the test tune cannot be played');
  return unrolled.value;
}

const chorus = chorusOf('meter: 4/4\n| Bbmaj7 | Cm7 F7 | Dm7 / / G7 | Cm7 |');
const waltz = chorusOf('meter: 3/4\n| Gmaj7 | Am7 / D7 |');

describe('changes typed by hand', () => {
  it('are given as they would be typed', () => {
    expect(chorus.bars.map((bar) => barText(bar, chorus.harmony))).toEqual([
      'Bbmaj7',
      'Cm7 F7',
      'Dm7 / / G7',
      'Cm7',
    ]);
    expect(waltz.bars.map((bar) => barText(bar, waltz.harmony))).toEqual(['Gmaj7', 'Am7 / D7']);
  });

  it('are read back to the same times', () => {
    for (const played of [chorus, waltz]) {
      const texts = played.bars.map((bar) => barText(bar, played.harmony));
      const reading = readHand(played.bars, texts);
      if (!reading.ok) throw new Error(reading.problems[0]?.message);
      const typed = reading.changes.map(({ at, length, harmony }) => [
        at,
        length,
        symbolOf(harmony),
      ]);
      const written = played.harmony.map((one) => [one.start, one.length, symbolOf(one.harmony)]);
      expect(typed).toEqual(written);
    }
  });

  it('fill a bar that is shorter than its meter', () => {
    const short = chorusOf('meter: 4/4\n| (3 beats) Bbmaj7 | Cm7 |');
    expect(short.bars.map((bar) => barText(bar, short.harmony))).toEqual(['Bbmaj7', 'Cm7']);
    const reading = readHand(short.bars.slice(0, 1), ['Cm7 / F7']);
    expect(reading.ok && reading.changes.map((change) => change.length)).toEqual([1920, 960]);
  });

  it.each([
    ['left empty', ''],
    ['that says it again', 'Ebm6'],
  ])('hold the chord before over a bar %s', (_, second) => {
    const reading = readHand(chorus.bars.slice(0, 2), ['Ebm6', second]);
    expect(reading.ok && reading.changes).toEqual([
      { at: 0, length: 7680, harmony: harmonyOf('Ebm6') },
    ]);
  });

  it('hold a chord into a bar that moves on from it', () => {
    const reading = readHand(chorus.bars.slice(0, 2), ['Ebm6', 'Ebm6 Ab7']);
    expect(reading.ok && reading.changes).toEqual([
      { at: 0, length: 5760, harmony: harmonyOf('Ebm6') },
      { at: 5760, length: 1920, harmony: harmonyOf('Ab7') },
    ]);
  });

  it.each([
    ['an unknown symbol', ['Bbmaj7', 'Xyz'], 1, /Xyz/u],
    ['three chords in four beats', ['Bbmaj7 Cm7 F7', 'Bb6'], 0, /beat/u],
    ['nothing in the first bar', ['', 'Bb6'], 0, /first bar/u],
    ['a bar line inside a bar', ['Bbmaj7 | Cm7', 'Bb6'], 0, /own line/u],
  ])('say which bar is wrong: %s', (_what, texts, bar, words) => {
    const reading = readHand(chorus.bars.slice(0, 2), texts);
    expect(!reading.ok && reading.problems[0]?.bar).toBe(bar);
    expect(!reading.ok && reading.problems[0]?.message).toMatch(words);
  });

  it('never names the line of a text nobody sees', () => {
    const reading = readHand(chorus.bars.slice(0, 1), ['Xyz']);
    expect(!reading.ok && reading.problems[0]?.message).not.toMatch(/line \d/iu);
  });
});

describe('what stands in a chorus', () => {
  const state = {
    ...emptyArrangement('Trio', 2),
    placements: {
      p1: {
        id: 'p1',
        chorus: 'c2',
        layer: 'soloist' as const,
        start: 0,
        length: 3840,
        changes: [
          { at: 0, length: 1440, harmony: harmonyOf('Bbmaj7') },
          { at: 1440, length: 2400, harmony: harmonyOf('Ebm6') },
        ],
        origin: { kind: 'hand' as const },
      },
    },
  };

  it('differs between the band and the soloist over it', () => {
    const band = standingHarmony(chorus, state, 'c2', 'band');
    const solo = standingHarmony(chorus, state, 'c2', 'soloist');
    expect(symbolOf(band[0]?.harmony ?? { kind: 'none' })).toBe('Bbmaj7');
    expect(solo.slice(0, 2).map((one) => symbolOf(one.harmony))).toEqual(['Bbmaj7', 'Ebm6']);
    expect(standingHarmony(chorus, state, 'c1', 'soloist')).toEqual(chorus.harmony);
  });

  it('can be typed where a chord stands off the beat', () => {
    const solo = standingHarmony(chorus, state, 'c2', 'soloist');
    const first = chorus.bars.slice(0, 1);
    const reading = readHand(
      first,
      first.map((bar) => barText(bar, solo)),
    );
    expect(reading.ok && reading.changes.map((change) => change.at)).toEqual([0, 1440]);
  });
});
