import { describe, expect, it } from 'vitest';
import { understand } from '../../shared-core/proposals/understand.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { fitLadder } from './fit.ts';

function chorusOf(text: string) {
  const { tune } = readTune(text);
  const analysis = tune && understand(tune);
  if (!analysis?.ok) throw new Error('the test tune cannot be understood');
  return analysis.value.chorus;
}

const PHRASES = '| Cm7 | F7 | Bbmaj7 | % |\n| Cm7 | F7 | Bbmaj7 | % |\n';
const LONG = chorusOf(`key: Bb major\n[A]\n${PHRASES.repeat(4)}`);
const SHORT = chorusOf('key: Bb major\n[A]\n| Cm7 | F7 | Bbmaj7 | % |');
const WALTZ = chorusOf(`key: Bb major\nmeter: 3/4\n[A]\n${PHRASES.repeat(4)}`);
const narrow = () => 10;

/** Room beside the bench in a window of 1280 by 720, 1920 by 1080 and 3840 by 2160, px of a usual screen. */
const ROOMS = [
  { width: 772, height: 556 },
  { width: 1146, height: 765 },
  { width: 1686, height: 1070 },
] as const;

describe('the size of the ladder', () => {
  it.each(ROOMS)('shows whole phrases in a room $width wide', (room) => {
    for (const [chorus, beats] of [
      [LONG, 4],
      [WALTZ, 3],
    ] as const) {
      const { quarter } = fitLadder(chorus, room, narrow);
      const bars = room.width / (quarter * beats);
      expect(Math.floor(bars) % 4).toBe(0);
      expect(bars).toBeGreaterThanOrEqual(8);
      expect(bars - Math.floor(bars)).toBeLessThan(0.1);
    }
  });

  it('shows more bars and larger type in a larger window, never fewer or smaller', () => {
    const fits = ROOMS.map((room) => fitLadder(LONG, room, narrow));
    const bars = fits.map(({ quarter }, index) => (ROOMS[index]?.width ?? 0) / quarter / 4);
    expect(bars).toEqual([...bars].sort((a, b) => a - b));
    expect(fits.map(({ type }) => type)).toEqual([1, expect.closeTo(1.25, 1), 1.25]);
    expect(fits.map(({ rung }) => rung)).toEqual([80, expect.any(Number), 152]);
  });

  it('keeps to its usual size in a small window and to its largest in a huge one', () => {
    const small = fitLadder(LONG, { width: 300, height: 200 }, narrow);
    expect(small).toMatchObject({ type: 1, rung: 80, contour: 12 });
    const huge = fitLadder(SHORT, { width: 9000, height: 9000 }, narrow);
    expect(huge).toMatchObject({ type: 1.25, rung: 152 });
    expect(huge.quarter * 4).toBeLessThanOrEqual(94 * 1.5);
  });

  it('gives crowded bars room, but keeps within what an eye takes in', () => {
    const wide = fitLadder(LONG, { width: 300, height: 200 }, () => 130).quarter;
    expect(wide * 4).toBeGreaterThanOrEqual(130);
    const crowded = fitLadder(LONG, { width: 100, height: 200 }, () => 900).quarter;
    expect(crowded * 4).toBeLessThanOrEqual(94 * 1.9);
  });
});
