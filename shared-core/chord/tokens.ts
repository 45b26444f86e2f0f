import type { ChordError } from './model.ts';

/**
 * First step of reading a chord symbol: characters to tokens with their places, no judgement. The
 * second step (`meaning.ts`) says what the tokens make together. A scanner over character codes with
 * the longest match first: speed matters, because a library is read through symbol by symbol.
 */

/** What one token is. */
export const TOKEN = {
  /** `maj` `M` `ma`: major as a word. */
  major: 1,
  /** A triangle: major seventh by itself. */
  triangle: 2,
  minor: 3,
  /** A dash: minor after the root, flat before a figure. */
  dash: 4,
  diminished: 5,
  halfDiminished: 6,
  augmented: 7,
  /** A plus: augmented after the root, sharp before a figure. */
  plus: 8,
  suspended: 9,
  add: 10,
  omit: 11,
  alt: 12,
  dominant: 13,
  flat: 14,
  sharp: 15,
  number: 16,
  open: 17,
  close: 18,
  separator: 19,
} as const;

/** The tokens of one suffix. The arrays are used again by the next reading: read them before that. */
export interface Tokens {
  count: number;
  readonly kind: Uint8Array;
  /** Figure of a number token; 69 is six-nine. */
  readonly value: Uint8Array;
  /** Offset of the token in the text. */
  readonly offset: Uint16Array;
  /** Where the bass stands (after its slash), or -1. */
  bassAt: number;
}

/** Longest symbol that is read; the longest in print are well under forty characters. */
export const LONGEST_SYMBOL = 64;

const scratch: Tokens = {
  count: 0,
  kind: new Uint8Array(LONGEST_SYMBOL + 1),
  value: new Uint8Array(LONGEST_SYMBOL + 1),
  offset: new Uint16Array(LONGEST_SYMBOL + 1),
  bassAt: -1,
};

/** Plain characters that stand in for their look-alikes. */
const FLAT = 98;
const SHARP = 35;
const DASH = 45;
const TRIANGLE = 94;
const CIRCLE = 0xb0;
const SLASHED = 0xf8;

/**
 * Look-alikes in print and in pasted text. Triangles U+25B3 U+0394 U+2206 U+25B5, circles U+00BA
 * U+02DA U+2218 U+25CB, slashed circles U+00D8 U+2205 U+2300, dashes U+2010 to U+2014, U+2212 U+FE63
 * U+FF0D, sharps U+266F U+FF03, flat U+266D, spaces U+00A0 U+2009 U+202F.
 */
function plain(code: number): number {
  switch (code) {
    case 0x266d:
      return FLAT;
    case 0x266f:
    case 0xff03:
      return SHARP;
    case 0x2010:
    case 0x2011:
    case 0x2012:
    case 0x2013:
    case 0x2014:
    case 0x2212:
    case 0xfe63:
    case 0xff0d:
      return DASH;
    case 0x25b3:
    case 0x0394:
    case 0x2206:
    case 0x25b5:
      return TRIANGLE;
    case 0xba:
    case 0x2da:
    case 0x2218:
    case 0x25cb:
      return CIRCLE;
    case 0xd8:
    case 0x2205:
    case 0x2300:
      return SLASHED;
    case 0xa0:
    case 0x2009:
    case 0x202f:
      return 32;
    default:
      return code;
  }
}

/** Character code at a place, look-alikes made plain; 0 past the end. */
export function codeAt(text: string, at: number): number {
  if (at >= text.length) return 0;
  const code = text.charCodeAt(at);
  return code < 128 ? code : plain(code);
}

/** Lower-case code of a Latin letter; other codes as they are. */
function lower(code: number): number {
  return code >= 65 && code <= 90 ? code + 32 : code;
}

/** Whether `word` (lower case) stands at a place, in any case. */
function wordAt(text: string, at: number, word: string): boolean {
  if (at + word.length > text.length) return false;
  for (let i = 0; i < word.length; i++) {
    if (lower(text.charCodeAt(at + i)) !== word.charCodeAt(i)) return false;
  }
  return true;
}

const isDigit = (code: number): boolean => code >= 48 && code <= 57;

function push(kind: number, value: number, offset: number): void {
  const at = scratch.count++;
  scratch.kind[at] = kind;
  scratch.value[at] = value;
  scratch.offset[at] = offset;
}

/** Length of a word with the dot that may shorten it (`dim.`, `alt.`). */
function withDot(text: string, at: number, length: number): number {
  return text.charCodeAt(at + length) === 46 ? length + 1 : length;
}

/** Pushes a word token; answers its length. */
function word(kind: number, text: string, at: number, length: number): number {
  push(kind, 0, at);
  return withDot(text, at, length);
}

/**
 * Words that start with m: `maj` `ma` `M` are major, `min` `mi` `m` minor. Case decides only for the
 * bare letter. `madd9`, `maug` and `malt` are an `m` and a word, not `ma`.
 */
function scanM(text: string, at: number): number {
  const second = lower(codeAt(text, at + 1));
  if (second === 97) {
    const third = lower(codeAt(text, at + 2));
    if (wordAt(text, at, 'major')) return word(TOKEN.major, text, at, 5);
    if (third === 106) return word(TOKEN.major, text, at, 3);
    if (third !== 100 && third !== 117 && third !== 108) return word(TOKEN.major, text, at, 2);
  }
  if (second === 105) {
    if (wordAt(text, at, 'minor')) return word(TOKEN.minor, text, at, 5);
    if (wordAt(text, at, 'min')) return word(TOKEN.minor, text, at, 3);
    return word(TOKEN.minor, text, at, 2);
  }
  return word(text.charCodeAt(at) === 77 ? TOKEN.major : TOKEN.minor, text, at, 1);
}

/** Words that start with d. */
function scanD(text: string, at: number): number {
  if (wordAt(text, at, 'diminished')) return word(TOKEN.diminished, text, at, 10);
  if (wordAt(text, at, 'dim')) return word(TOKEN.diminished, text, at, 3);
  if (wordAt(text, at, 'dominant')) return word(TOKEN.dominant, text, at, 8);
  if (wordAt(text, at, 'dom')) return word(TOKEN.dominant, text, at, 3);
  return 0;
}

/** Words that start with a. */
function scanA(text: string, at: number): number {
  if (wordAt(text, at, 'augmented')) return word(TOKEN.augmented, text, at, 9);
  if (wordAt(text, at, 'aug')) return word(TOKEN.augmented, text, at, 3);
  if (wordAt(text, at, 'add')) return word(TOKEN.add, text, at, 3);
  if (wordAt(text, at, 'altered')) return word(TOKEN.alt, text, at, 7);
  if (wordAt(text, at, 'alt')) return word(TOKEN.alt, text, at, 3);
  return 0;
}

/** Words that start with s. */
function scanS(text: string, at: number): number {
  if (wordAt(text, at, 'suspended')) return word(TOKEN.suspended, text, at, 9);
  if (wordAt(text, at, 'sus')) return word(TOKEN.suspended, text, at, 3);
  return 0;
}

/** `o` is a circle, unless it begins `omit`. */
function scanO(text: string, at: number): number {
  if (wordAt(text, at, 'omit')) return word(TOKEN.omit, text, at, 4);
  if (text.charCodeAt(at) !== 111) return 0;
  push(TOKEN.diminished, 0, at);
  return 1;
}

/** `h`, `hdim`, `half-dim`, `half-diminished`. */
function scanH(text: string, at: number): number {
  let length = 1;
  if (wordAt(text, at, 'half')) length = codeAt(text, at + 4) === DASH ? 5 : 4;
  if (wordAt(text, at + length, 'diminished')) length += 10;
  else if (wordAt(text, at + length, 'dim')) length += 3;
  else if (length > 1) return 0;
  return word(TOKEN.halfDiminished, text, at, length);
}

/** A run of digits; `6/9`, `9/6` and `69` are one figure. A zero right after the root is a circle. */
function scanNumber(text: string, at: number): number {
  const first = text.charCodeAt(at) - 48;
  if (first === 0) {
    if (scratch.count > 0) return 0;
    push(TOKEN.diminished, 0, at);
    return 1;
  }
  let end = at + 1;
  let value = first;
  while (isDigit(codeAt(text, end)) && value < 100) {
    value = value * 10 + text.charCodeAt(end) - 48;
    end++;
  }
  if ((value === 6 || value === 9) && codeAt(text, end) === 47) {
    const other = value === 6 ? 57 : 54;
    if (codeAt(text, end + 1) === other && !isDigit(codeAt(text, end + 2))) {
      push(TOKEN.number, 69, at);
      return end + 2 - at;
    }
  }
  if (!isFigure(value)) return 0;
  push(TOKEN.number, value, at);
  return end - at;
}

/** `sus24`: second and fourth together. */
export const SECOND_AND_FOURTH = 24;

function isFigure(value: number): boolean {
  return (value >= 2 && value <= 7) || isTension(value) || value === SECOND_AND_FOURTH;
}

function isTension(value: number): boolean {
  return value === 9 || value === 11 || value === 13 || value === 69;
}

/** A slash opens the bass when a note letter follows; before a figure or a word it only parts them. */
function scanSlash(text: string, at: number): number {
  const next = codeAt(text, at + 1);
  if (next >= 65 && next <= 71) {
    scratch.bassAt = at + 1;
    return 1;
  }
  const parts = isDigit(next) || next === FLAT || next === SHARP || next === TRIANGLE;
  if (!parts && lower(next) !== 109 && lower(next) !== 115 && next !== 97) return 0;
  push(TOKEN.separator, 0, at);
  return 1;
}

function one(kind: number, at: number): number {
  push(kind, 0, at);
  return 1;
}

/** Scans one token at a place; answers its length, 0 when nothing fits. */
function scanOne(text: string, at: number): number {
  const code = codeAt(text, at);
  switch (code) {
    case 109:
    case 77:
      return scanM(text, at);
    case FLAT:
      return one(TOKEN.flat, at);
    case SHARP:
      return one(TOKEN.sharp, at);
    case DASH:
      return one(TOKEN.dash, at);
    case 43:
      return one(TOKEN.plus, at);
    case 47:
      return scanSlash(text, at);
    case TRIANGLE:
    case 106:
      return one(TOKEN.triangle, at);
    case CIRCLE:
      return one(TOKEN.diminished, at);
    case SLASHED:
      return one(TOKEN.halfDiminished, at);
    case 40:
    case 91:
      return one(TOKEN.open, at);
    case 41:
    case 93:
      return one(TOKEN.close, at);
    case 44:
      return one(TOKEN.separator, at);
    case 32:
      return 1;
    case 115:
    case 83:
      return scanS(text, at);
    case 97:
    case 65:
      return scanA(text, at);
    case 100:
    case 68:
      return scanD(text, at);
    case 111:
    case 79:
      return scanO(text, at);
    case 110:
    case 78:
      return wordAt(text, at, 'no') ? word(TOKEN.omit, text, at, 2) : 0;
    case 104:
      return scanH(text, at);
    default:
      return isDigit(code) ? scanNumber(text, at) : 0;
  }
}

/**
 * Splits the suffix of a chord symbol, from the place after the root to `end`, into tokens. Stops at
 * the slash of a bass note and says where the bass begins.
 *
 * @returns the offset of the first character nothing fits, or -1 when all of it was understood
 */
export function scanSuffix(text: string, from: number, end: number): number {
  scratch.count = 0;
  scratch.bassAt = -1;
  let at = from;
  while (at < end) {
    const length = scanOne(text, at);
    if (length === 0) return at;
    at += length;
    if (scratch.bassAt >= 0) return -1;
    if (isOrdinal(text, at)) at += 2;
  }
  return -1;
}

/** `3rd`, `5th`, `9th`: the letters after a figure that say nothing more. */
function isOrdinal(text: string, at: number): boolean {
  const last = scratch.count - 1;
  if (last < 0 || scratch.kind[last] !== TOKEN.number) return false;
  return wordAt(text, at, 'rd') || wordAt(text, at, 'th') || wordAt(text, at, 'nd');
}

/** The tokens of the last {@link scanSuffix}. */
export function scannedTokens(): Tokens {
  return scratch;
}

/** Builds the error of a place that was not understood. */
export function chordError(code: ChordError['code'], text: string, offset: number): ChordError {
  return { code, text, offset };
}
