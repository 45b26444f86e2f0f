import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { constructibleMasks } from '../../tests/support/qualities.ts';
import { qualityOf } from '../chord/build.ts';
import { degreeName } from '../chord/degrees.ts';
import { qualityOfMask } from '../chord/quality.ts';
import { degreesOfKind, type KindDegree, kindOf } from './kind.ts';

interface ChordRow {
  readonly id: string;
  readonly degrees: readonly string[];
  readonly musicxml: { readonly kind: string; readonly degrees: readonly KindDegree[] };
}

/** Chord qualities with MusicXML kinds and degrees; sources inside the file. */
const ROWS: readonly ChordRow[] = JSON.parse(
  readFileSync(new URL('../../tests/reference/chords.json', import.meta.url), 'utf8'),
).rows;

/**
 * Rows where the reference leaves a fifth unsaid that the quality does not hold: players drop the
 * natural fifth under a flat thirteenth, so both forms are accepted there.
 */
function withoutFifth(degrees: readonly KindDegree[]): readonly KindDegree[] {
  return degrees.filter(({ value, type }) => !(value === 5 && type === 'subtract'));
}

describe('kinds and degrees of MusicXML', () => {
  it.each(ROWS.map((row) => [row.id, row] as const))(
    'says %s as the reference does',
    (_id, row) => {
      const reading = kindOf(qualityOf(row.id));
      const own = row.id === '7alt' ? reading.degrees : withoutFifth(reading.degrees);
      expect({ kind: reading.kind, degrees: own }).toEqual(row.musicxml);
    },
  );

  it('is read back to the same degrees for every quality there can be', () => {
    // A thirteenth chord's eleventh and an eleventh chord's third come with the kind, and are left out by players.
    const optional = new Set(['11', '3']);
    for (const mask of constructibleMasks()) {
      const quality = qualityOfMask(mask);
      if (quality.alt) continue;
      const reading = kindOf(quality);
      const read = degreesOfKind(reading).map(degreeName);
      const held = quality.degrees.map(degreeName);
      const extra = read.filter((name) => !held.includes(name));
      const lost = held.filter((name) => !read.includes(name));
      const stack = /-(11th|13th)$/u.test(reading.kind);
      expect({ suffix: quality.suffix, lost }).toEqual({ suffix: quality.suffix, lost: [] });
      expect({
        suffix: quality.suffix,
        extra: extra.filter((name) => !stack || !optional.has(name)),
      }).toEqual({
        suffix: quality.suffix,
        extra: [],
      });
    }
  });

  it('counts an added seventh from a dominant chord, as the standard asks', () => {
    expect(kindOf(qualityOf('7sus4')).degrees).toEqual([{ value: 7, alter: 0, type: 'add' }]);
    expect(kindOf(qualityOf('dimMaj7')).degrees).toEqual([{ value: 7, alter: 1, type: 'add' }]);
  });
});
