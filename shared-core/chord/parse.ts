import { chromaOf, type Spelled } from '../pitch/spelled.ts';
import { err, ok, type Result } from '../result.ts';
import { failed, failureOf, meaningOf } from './meaning.ts';
import type { Chord, ChordError, Harmony, NoChord } from './model.ts';
import { qualityOfMask } from './quality.ts';
import { chordError, codeAt, LONGEST_SYMBOL, scannedTokens, scanSuffix } from './tokens.ts';

/** No chord: the rhythm section rests. */
export const NO_CHORD: NoChord = Object.freeze({ kind: 'none' });

/** Places of A B C D E F G on the line of fifths. */
const LETTERS = [3, 5, 0, 2, 4, -1, 1] as const;

const FLAT = 98;
const SHARP = 35;

/** A note read from a text: its place on the line of fifths and where it ends. */
const note = { pc: 0, end: 0 };

/**
 * Reads a capital letter and up to two accidentals: `b` `♭` `#` `♯` `x` and the double signs; a natural
 * sign is passed over. Accidentals right after the letter always belong to it: `Bb5` is a fifth on B
 * flat. Answers false when no note stands there.
 */
function readNote(text: string, at: number, end: number): boolean {
  const letter = text.charCodeAt(at) - 65;
  if (at >= end || letter < 0 || letter > 6) return false;
  note.pc = LETTERS[letter] as Spelled;
  note.end = at + 1;
  const code = codeAt(text, at + 1);
  if (code === FLAT || code === SHARP) {
    const twice = codeAt(text, at + 2) === code ? 2 : 1;
    note.pc += (code === FLAT ? -7 : 7) * twice;
    note.end += twice;
  } else if (code === 120) {
    note.pc += 14;
    note.end += 1;
  } else if (code === 0x266e) {
    note.end += 1;
  } else if (code === 0xd834) {
    readDoubleSign(text, at + 1);
  }
  return true;
}

/** The double flat U+1D12B and double sharp U+1D12A, each two code units long. */
function readDoubleSign(text: string, at: number): void {
  const second = text.charCodeAt(at + 1);
  if (second !== 0xdd2b && second !== 0xdd2a) return;
  note.pc += second === 0xdd2b ? -14 : 14;
  note.end += 2;
}

/** `N.C.`, `NC`, `N. C.`, `N`, `no chord`, in any case but for the bare letter. */
function isNoChord(text: string): boolean {
  return text === 'N' || /^(n\.?\s*c\.?|no\s*chord)$/i.test(text);
}

/**
 * Reads a chord symbol as players write it: any usual spelling of the quality (words, signs, their
 * look-alikes), a bass after a slash, a whole chord in brackets, or no chord.
 *
 * The root is a capital A to G (case is never folded: `b` is a flat). `H` and lower-case roots are
 * refused, and so are two chords stacked on one another. What one spelling means where the trade is of
 * two minds is said in `meaning.ts`.
 *
 * @param text up to {@link LONGEST_SYMBOL} characters; blanks around it do not count
 * @returns the harmony, or an error whose `offset` is the first character not understood
 * @example parseChord('A-7') // ok: the same as parseChord('Am7')
 * @example parseChord('Bb7(b9)/D')
 * @example parseChord('Cm7x') // err: chord/quality at offset 3
 */
export function parseChord(text: string): Result<Harmony, ChordError> {
  let from = 0;
  let end = text.length;
  while (from < end && codeAt(text, from) <= 32) from++;
  while (end > from && codeAt(text, end - 1) <= 32) end--;
  if (from === end) return err(chordError('chord/empty', text, 0));
  if (end - from > LONGEST_SYMBOL) {
    return err(chordError('chord/too-long', text.slice(0, LONGEST_SYMBOL + 1), LONGEST_SYMBOL));
  }
  const first = text.charCodeAt(from);
  if ((first === 78 || first === 110) && isNoChord(text.slice(from, end))) return ok(NO_CHORD);
  const optional = first === 40 && text.charCodeAt(end - 1) === 41;
  return optional ? readChord(text, from + 1, end - 1, true) : readChord(text, from, end, false);
}

function readChord(
  text: string,
  from: number,
  end: number,
  optional: boolean,
): Result<Chord, ChordError> {
  if (!readNote(text, from, end)) return err(chordError('chord/root', text, from));
  const root = note.pc;
  const suffixAt = note.end;
  const stop = scanSuffix(text, suffixAt, end);
  if (stop >= 0) return err(unreadError(text, stop));
  const tokens = scannedTokens();
  const bassAt = tokens.bassAt;
  const reading = meaningOf(tokens, suffixAt, bassAt < 0 ? end : bassAt - 1);
  if (failed(reading)) {
    const { code, offset } = failureOf(reading);
    return err(chordError(code, text, offset));
  }
  let bass: Spelled | null = null;
  if (bassAt >= 0) {
    readNote(text, bassAt, end);
    if (note.end !== end) return err(chordError('chord/bass', text, note.end));
    bass = sameNote(note.pc, root) ? null : note.pc;
  }
  return ok({ kind: 'chord', root, quality: qualityOfMask(reading), bass, optional });
}

/** Where scanning stopped at a slash, the bass is what was not understood (`C/e`, `C/H`). */
function unreadError(text: string, stop: number): ChordError {
  const slash = text.charCodeAt(stop) === 47;
  return slash ? chordError('chord/bass', text, stop + 1) : chordError('chord/quality', text, stop);
}

/** A bass spelled like the root, or sounding like it, is the root: `C/C`. */
function sameNote(bass: Spelled, root: Spelled): boolean {
  return bass === root || chromaOf(bass) === chromaOf(root);
}
