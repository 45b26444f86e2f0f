import { describe, expect, test } from 'vitest';
import { siteFrom, wordsOf } from '../../tests/support/site.ts';
import type { DeviceName } from '../analysis/model.ts';
import { deviceByName } from './index.ts';

/**
 * What an arranger would not write, device by device, on held stretches. Common practice, no source, but
 * where a row names one.
 */

const written = (device: DeviceName, key: string, before: string, next: string): string[] =>
  deviceByName(device)
    .propose(siteFrom(key, before, next))
    .map(({ changes }) => wordsOf(changes));

const BAR = 3840;

describe('on the seventh chord that is home in a blues', () => {
  const four = '| F7 | F7 | F7 | F7 |';

  test('the two-five into four takes bars three and four, or bar four', () => {
    // tests/reference/blues-variants.json: bars three and four of the jazz forms.
    const found = written('two-five-split', 'F major', four, 'Bb7');
    expect(found).toContain(`0 F7, ${2 * BAR} Cm7, ${3 * BAR} F7`);
    expect(found).toContain(`0 F7, ${3 * BAR} Cm7, ${3.5 * BAR} F7`);
  });

  test('home does not come in late, suspended or behind its two', () => {
    for (const device of ['two-five-split', 'suspended-preparation'] as const) {
      const late = written(device, 'F major', four, 'Bb7').filter(
        (row) => !row.startsWith('0 F7') && row.split(', ').length < 8,
      );
      expect(late, device).toEqual([]);
    }
  });

  test('it darkens into four, and neither thins to its triad nor changes for a ninth', () => {
    const found = written('lead-in-dominant', 'F major', '| F7 | F7 |', 'Bb7');
    expect(found).toContain(`0 F7, ${1.5 * BAR} F7#5`);
    expect(found.filter((row) => /F(9)?$/u.test(row))).toEqual([]);
  });
});

test('a major seventh leads to its four as a seventh, never as the triad it already holds', () => {
  const found = written('lead-in-dominant', 'C major', '| Cmaj7 | Cmaj7 |', 'Fmaj7');
  expect(found).toContain(`0 Cmaj7, ${1.5 * BAR} C7`);
  expect(found).not.toContain(`0 Cmaj7, ${1.5 * BAR} C`);
});

test('a minor chord on the fifth of the next still turns major', () => {
  const found = written('lead-in-dominant', 'C major', '| Em7 | Em7 |', 'Am7');
  expect(found).toContain(`0 Em7, ${1.5 * BAR} E`);
});

test('two two-fives into a minor chord end on the half-diminished two of that minor', () => {
  const found = written('dominant-chain', 'C major', '| Cmaj7 | Cmaj7 |', 'Dm7');
  expect(found).toContain(`0 F#m7, ${0.5 * BAR} B7, ${BAR} Em7b5, ${1.5 * BAR} A7`);
});

test('three two-fives are kept for goals from where they start in the key', () => {
  const long = (key: string, home: string, next: string): string[] =>
    written('dominant-chain', key, `| ${home} | ${home} | ${home} | ${home} |`, next).filter(
      (row) => row.includes('m7b5'),
    );
  expect(long('F major', 'F7', 'Bb7')).toContain(
    `0 F7, ${BAR} Em7b5, ${1.5 * BAR} A7, ${2 * BAR} Dm7, ${2.5 * BAR} G7, ${3 * BAR} Cm7, ${3.5 * BAR} F7`,
  );
  expect(long('C minor', 'Abmaj7', 'G7')).toEqual([]);
});
