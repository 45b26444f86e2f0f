import { describe, expect, it } from 'vitest';
import { arrangementOf, partOf, tuneOf } from '../../tests/support/parts.ts';

const TUNE = tuneOf(
  'title: T\nkey: C\nmeter: 4/4\n\n| Cmaj7 | Dm7 | G7 | Cmaj7 |\nmelody: | whole E5 | whole F5 | whole D5 | whole C5 |',
);

const headings = (labels: (string | null)[], chair: string): string[] =>
  partOf(TUNE, arrangementOf(TUNE, labels), chair).blocks.map(({ heading }) => heading);

describe('choruses nobody named', () => {
  it('rest on a soloist’s chart where it is another’s turn, and say whose', () => {
    // Head, then the soloists in turn: tenor, alto, trumpet; the last chorus is a head again.
    const labels = [null, null, null, null, null];
    expect(headings(labels, 'alto')).toEqual([
      'Chorus 1 · Head',
      'Chorus 2 · Tenor saxophone solo',
      'Chorus 3 · Alto saxophone solo',
      'Chorus 4 · Trumpet solo',
      'Chorus 5 · Head',
    ]);
  });

  it('say what a horn does in a chorus that is open to all', () => {
    expect(headings([null, 'Open', null], 'alto')[1]).toBe(
      'Chorus 2 · Open · open: play if called, else backgrounds on cue',
    );
    expect(headings([null, 'Open', null], 'guitar').join()).not.toContain('backgrounds');
  });
});
