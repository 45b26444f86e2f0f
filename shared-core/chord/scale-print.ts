import { inSignature, plainly, undouble } from '../pitch/copyist.ts';
import type { Key } from '../pitch/key.ts';
import { chromaOf, type Spelled } from '../pitch/spelled.ts';
import { degreeFifths } from './degrees.ts';
import type { Chord } from './model.ts';
import type { Scale } from './scale-table.ts';

/**
 * The notes of a scale over a chord as they are printed. A scale of seven letters keeps them, one note a
 * letter. A symmetrical or altered scale cannot: there the chord's own notes keep the chord's spelling, what
 * the key signature holds is named by it, and the rest by its degree, without E#, B#, Cb and Fb. Double
 * accidentals become plain notes everywhere, to be read at sight. Common practice, no source.
 *
 * @param key key of the place; null where it is not known
 * @example printedScale(parse('C7alt'), altered, F minor) // C Db Eb E Gb Ab Bb
 */
export function printedScale(chord: Chord, scale: Scale, key: Key | null): readonly Spelled[] {
  const letters = new Set(scale.degrees.map(({ number }) => (number - 1) % 7));
  const byLetter = scale.degrees.length <= 7 && letters.size === scale.degrees.length;
  return scale.degrees.map((degree) => {
    const pc = chord.root + degreeFifths(degree);
    return undouble(byLetter ? pc : namedOver(chord, pc, key));
  });
}

function namedOver({ root, quality }: Chord, pc: Spelled, key: Key | null): Spelled {
  // The fifth and ninth of an alt chord are any altered ones: the chord does not name them.
  const own = quality.alt ? [0, 4, -2] : quality.fifths;
  const tone = own.find((fifths) => chromaOf(root + fifths) === chromaOf(pc));
  if (tone !== undefined) return root + tone;
  if (key !== null) {
    const named = [pc, pc + 12, pc - 12].find((name) => inSignature(key, name));
    if (named !== undefined) return named;
  }
  return plainly(undouble(pc));
}
