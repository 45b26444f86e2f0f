import { assertNever } from '../result.ts';
import type { ChordError } from './model.ts';
import { LONGEST_SYMBOL } from './tokens.ts';

/**
 * The sentence for a chord symbol that was not read: what was not understood, and what to type.
 *
 * @example chordMessage({code: 'chord/root', text: 'H7', offset: 0})
 */
export function chordMessage(error: ChordError): string {
  const quoted = `"${error.text}"`;
  const rest = error.text.slice(error.offset);
  switch (error.code) {
    case 'chord/empty':
      return 'There is no chord symbol here; write one such as Bbmaj7, or N.C. for no chord.';
    case 'chord/root':
      return rootMessage(quoted, rest);
    case 'chord/quality':
      return rest === ''
        ? `${quoted} ends too early: a bracket is open or a figure is missing.`
        : `"${rest}" in ${quoted} is not understood after the root; check the spelling of the chord.`;
    case 'chord/bass':
      return `The bass in ${quoted} is not one note: after the slash write a capital letter A to G, such as C7/E. Chords stacked on chords are not read.`;
    case 'chord/contradiction':
      return `${quoted} says two things that cannot both be: from "${rest}" on, keep one of them.`;
    case 'chord/too-long':
      return `This chord symbol is longer than ${LONGEST_SYMBOL} characters; are spaces missing between chords?`;
    default:
      return assertNever(error.code);
  }
}

function rootMessage(quoted: string, rest: string): string {
  if (/^h/i.test(rest))
    return `${quoted} does not begin with a note: write B for the German H, Bb for the German B.`;
  if (/^[a-g]/.test(rest)) {
    return `${quoted} begins with a small letter: write the root as a capital, A to G.`;
  }
  return `${quoted} does not begin with a note: write the root as a capital letter, A to G.`;
}
