import { describe, expect, test } from 'vitest';
import {
  keyNamed,
  meterNamed,
  siteFrom,
  siteOfChanges,
  wordsOf,
} from '../../tests/support/site.ts';
import { barTicks, beatTicks } from '../time/meter.ts';
import { isStrong } from './grid.ts';
import { DEVICES, deviceByName } from './index.ts';
import type { Rewrite, Site } from './model.ts';
import { chordIn, UP } from './sound.ts';

/**
 * Where changes fall in the rarer meters: five counts three and two, 6/8 and 12/8 count dotted beats, a
 * waltz divides two and one. Common practice, no source.
 */

const SCENES = [
  ['major', 0, 'maj7', 0, 'maj7'],
  ['major', 0, 'maj7', UP.four, 'maj7'],
  ['major', 0, 'maj7', UP.two, 'm7'],
  ['major', 0, '7', UP.four, '7'],
  ['major', UP.five, '7', 0, 'maj7'],
  ['major', UP.two, 'm7', UP.five, '7'],
  ['minor', 0, 'm7', 0, 'm7'],
  ['minor', UP.five, '7', 0, 'm7'],
  ['minor', UP.two, 'm7b5', UP.five, '7'],
] as const;

function sitesIn(meterText: string): Site[] {
  const meter = meterNamed(meterText);
  return SCENES.flatMap(([mode, heldUp, held, nextUp, next]) =>
    [1, 2, 3, 4, 5, 8].map((bars) => {
      const key = keyNamed(`D ${mode}`);
      const harmony = chordIn(key, key.tonic + heldUp, held);
      const written = [{ at: 0, length: bars * barTicks(meter), harmony }];
      return siteOfChanges(key, written, chordIn(key, key.tonic + nextUp, next), meter);
    }),
  );
}

/** Changes off the groups of the bar, but for one beat that leads into the next group. */
function offGroup(site: Site, rewrite: Rewrite): string[] {
  const beat = beatTicks(site.meter);
  const bad = rewrite.changes.some(
    ({ at, length }) => !isStrong(site, at) && !(length === beat && isStrong(site, at + length)),
  );
  return bad ? [`${rewrite.device} ${rewrite.variant}: ${wordsOf(rewrite.changes)}`] : [];
}

test('in five every change begins a group of three or two, or is the one beat that leads into it', () => {
  const found = sitesIn('5/4').flatMap((site) =>
    DEVICES.flatMap((device) => device.propose(site).flatMap((one) => offGroup(site, one))),
  );
  expect(found).toEqual([]);
});

test.each(['6/8', '12/8', '3/4'])('in %s every change falls on a counted beat', (meter) => {
  for (const site of sitesIn(meter)) {
    for (const { changes, device, variant } of DEVICES.flatMap((one) => one.propose(site))) {
      const off = changes.filter(({ at }) => at % beatTicks(site.meter) !== 0);
      expect(off, `${device} ${variant}`).toEqual([]);
    }
  }
});

describe('a two-five over a held dominant', () => {
  const BEAT = 960;
  const DOTTED = 1440;
  const rows = (bars: string, meter: string): string[] =>
    deviceByName('two-five-split')
      .propose(siteFrom('C major', bars, 'Cmaj7', meter))
      .filter(({ degree }) => degree !== 'triad')
      .map(({ changes }) => wordsOf(changes));

  test.each([
    ['5/4', 3 * BEAT],
    ['4/4', 2 * BEAT],
    ['3/4', 2 * BEAT],
    ['6/8', DOTTED],
    ['12/8', 2 * DOTTED],
  ])('in one bar of %s the five comes on its second group', (meter, at) => {
    expect(rows('| G7 |', meter)[0]).toBe(`0 Dm7, ${at} G7`);
  });

  test('laid into two bars of five it takes a whole bar, three and two', () => {
    const found = rows('| G7 | G7 |', '5/4');
    expect(found).toContain('0 G7, 4800 Dm7, 7680 G7');
    expect(found.filter((row) => row.includes('3840'))).toEqual([]);
  });

  test('laid into the end of a bar of four it comes back on the bar line', () => {
    const found = rows('| G7 | G7 |', '4/4');
    expect(found).toContain('0 G7, 1920 Dm7, 3840 G7');
    expect(found).not.toContain('0 G7, 1920 Dm7, 2880 G7');
  });
});
