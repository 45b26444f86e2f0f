import { describe, expect, it } from 'vitest';
import { changesOf, chordNamed, siteFrom } from '../../tests/support/site.ts';
import { bassMotion } from './bass-motion.ts';
import { chordMoves } from './chord-moves.ts';

/** The figure of changes over two held bars of C, with what comes next. */
function figure(after: string, next: string): number {
  const site = siteFrom('C major', '| Cmaj7 | Cmaj7 |', next);
  return bassMotion(chordMoves(site, changesOf(after, site.meter)));
}

describe('the walk of the bass', () => {
  // Falls of a fifth and semitones strongest, steps next, the rest weak: common practice, no source.
  it('is strongest by falling fifths and by semitones', () => {
    expect(figure('| Cmaj7 | A7 Ab7 |', 'G7')).toBeGreaterThan(0.85);
    expect(figure('| Cmaj7 | C7 |', 'Fmaj7')).toBe(1);
    expect(figure('| Cmaj7 | Gb7 |', 'Fmaj7')).toBe(0.675);
  });

  it('prefers a step to a third and a third to a tritone', () => {
    const [step, third, tritone] = ['Bb7', 'Eb7', 'F#m7b5'].map((symbol) =>
      figure(`| Cmaj7 ${symbol} | Cmaj7 |`, 'Cmaj7'),
    );
    expect([step, third, tritone]).toEqual([0.85, 0.65, 0.35]);
  });

  it('takes every move of an equal cycle for strong, as of a cycle of major thirds', () => {
    expect(figure('| Cmaj7 Abmaj7 | Emaj7 |', 'Cmaj7')).toBe(1);
  });

  it('follows the bass note where a symbol names one', () => {
    expect(figure('| Cmaj7 C7/E | Fmaj7 |', 'Fmaj7')).toBe(0.825);
    expect(figure('| Cmaj7 | G7/B |', 'Cmaj7')).toBe(1);
  });

  it('is perfect where nothing moves', () => {
    expect(
      bassMotion(
        chordMoves(siteFrom('C major', '| Cmaj7 |', 'Cmaj7'), [
          { at: 0, length: 3840, harmony: chordNamed('Cmaj7') },
        ]),
      ),
    ).toBe(1);
  });
});
