import { expect, it } from 'vitest';
import type { Chord } from '../chord/model.ts';
import { parseChord } from '../chord/parse.ts';
import { familiesOf, kindsOf } from './families.ts';
import { voicePath } from './path.ts';

const CHANGES = 'Dm7 G7 Cmaj7 A7b9 Dm9 G13 C6 F#m7b5 B7 Em7'.split(' ').map((text): Chord => {
  const read = parseChord(text);
  if (!read.ok || read.value.kind !== 'chord') throw new Error(text);
  return read.value;
});

it.each(['guitar', 'piano'] as const)('every family of a %s is kept to by most chords', (who) => {
  for (const family of familiesOf(who)) {
    const kinds = kindsOf(family, who);
    const path = voicePath(CHANGES, {
      instrument: who,
      withBass: true,
      ...(kinds === undefined ? {} : { kinds }),
    });
    expect(path.every(Boolean), family).toBe(true);
    const kept = path.filter((voicing) => kinds?.includes(voicing?.kind ?? '') ?? true);
    // Fourths are for chords that have them: minor and suspended sevenths. Any other takes what lies best.
    const least = family === 'fourths' ? 2 : CHANGES.length / 2;
    expect(kept.length, family).toBeGreaterThan(least);
  }
});

it('a family of the other instrument asks for nothing', () => {
  expect(kindsOf('drop-2', 'piano')).toBeUndefined();
  expect(kindsOf('third-below', 'guitar')).toBeUndefined();
  expect(kindsOf('any', 'guitar')).toBeUndefined();
});
