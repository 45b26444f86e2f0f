import { describe, expect, test } from 'vitest';
import { chordNamed, siteFrom, wordsOf } from '../../tests/support/site.ts';
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

describe('a pedal under chords of the mode', () => {
  const four = (symbol: string): string => `| ${[symbol, symbol, symbol, symbol].join(' | ')} |`;
  const walks = (key: string, symbol: string, next: string): string[] =>
    written('pedal-point', key, four(symbol), next);
  const bars = (...symbols: string[]): string =>
    symbols.map((symbol, bar) => `${bar * BAR} ${symbol}`).join(', ');

  test.each([
    // Nothing in the tune shows a flat six: the mode of a minor seventh that stands still is dorian.
    ['D minor', 'Dm7', ['Em7/D', 'Fmaj7/D', 'Em7/D']],
    ['C major', 'Dm7', ['Em/D', 'F/D', 'G/D']],
    ['C minor', 'Cm6', ['F/C', 'G/C', 'F/C']],
    ['C minor', 'CmMaj7', ['F/C', 'G/C', 'F/C']],
    ['C major', 'G7sus4', ['Dm7/G', 'Fmaj7/G', 'Dm7/G']],
    ['C major', 'G7sus4', ['F/G', 'C/G', 'F/G']],
    ['E major', 'Emaj7#11', ['F#/E', 'B/E', 'F#/E']],
  ])('in %s on %s walks %s', (key, symbol, over) => {
    expect(walks(key, symbol, symbol)).toContain(bars(symbol, ...over));
  });

  test('has no flat six over a dorian home, and no natural four over a sharp eleven', () => {
    expect(walks('D minor', 'Dm7', 'Dm7').filter((row) => row.includes('Bb/D'))).toEqual([]);
    expect(walks('C major', 'Bb7#11', 'Cmaj7').filter((row) => row.includes('Eb/Bb'))).toEqual([]);
    expect(walks('C major', 'Bb7#11', 'Cmaj7').join(' ')).toContain('C/Bb');
    expect(written('suspended-preparation', 'C major', four('Bb7#11'), 'Cmaj7')).toEqual([]);
  });

  test('has the flat six where the tune shows it', () => {
    const site = siteFrom('D minor', four('Dm7'), 'Dm7');
    const { chords } = site.analysis;
    const flatSix = chords.map((chord) => ({ ...chord, harmony: chordNamed('Gm7') }));
    const shown = { ...site, analysis: { ...site.analysis, chords: flatSix } };
    const found = deviceByName('pedal-point')
      .propose(shown)
      .map(({ changes }) => wordsOf(changes));
    expect(found).toContain(bars('Dm7', 'C/D', 'Bb/D', 'C/D'));
  });
});

test('a suspended vamp lets go for a moment and hangs again', () => {
  const found = written('suspended-preparation', 'C major', '| G7sus4 | G7sus4 |', 'G7sus4');
  expect(found).toContain(`0 G7sus4, ${0.5 * BAR} G7, ${BAR} G7sus4`);
});

test('the sharp four walks down through the minor four, on its own letter', () => {
  const found = written('turnaround', 'E major', '| Emaj7 | Emaj7 |', 'F#m7');
  expect(found.join(' ')).toContain('A#m7b5');
  expect(found.join(' ')).not.toContain('Bbm7b5');
});
