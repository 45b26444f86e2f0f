import { describe, expect, it } from 'vitest';
import { swingRatio, swung, swungInBar } from './swing.ts';

const FOUR = { count: 4, unit: 4 };

describe('the swing ratio', () => {
  // Friberg & Sundstrom 2002, figures from memory: about 3.5 at slow tempi falling to about 1 near 300
  // beats a minute, the short note near 100 ms from medium tempi up; the players' spread is about a half.
  it.each([
    [60, 3.5],
    [80, 3.5],
    [120, 3.5],
    [150, 3],
    [180, 2.3],
    [200, 2],
    [240, 1.5],
    [300, 1],
  ])('at %s beats a minute is near %s', (tempo, published) => {
    expect(Math.abs(swingRatio(tempo) - published)).toBeLessThanOrEqual(0.5);
  });

  it('never falls below even eighths', () => {
    expect(swingRatio(400)).toBe(1);
  });
});

describe('swinging a place', () => {
  it('keeps the beats and delays the off-beats: 2:1 puts them on the third triplet', () => {
    expect([0, 480, 960, 1440, 1920].map((at) => swung(at, FOUR, 2))).toEqual([
      0, 640, 960, 1600, 1920,
    ]);
  });

  it('never changes the order of places', () => {
    for (let at = 1; at < 3840; at++)
      expect(swung(at, FOUR, 3)).toBeGreaterThanOrEqual(swung(at - 1, FOUR, 3));
  });

  it('leaves compound meters alone', () => {
    expect(swung(480, { count: 6, unit: 8 }, 2)).toBe(480);
  });

  it('follows the place in the bar in a pickup of three eighths: its first and third are late', () => {
    const pickup = { meter: FOUR, length: 1440 };
    // Written on the and of 3, on 4 and on the and of 4, which is 480 ticks after beat 3; then the bar line.
    const places = [0, 480, 960, 1440].map((at) => swungInBar(pickup, at, 2) + 480);
    expect(places).toEqual([640, 960, 1600, 1920]);
  });

  it('is back in place after eight loops of five eighths', () => {
    expect(swung((8 * 5 * 480) % 3840, FOUR, 2)).toBe(0);
  });
});
