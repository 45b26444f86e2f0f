import { type Meter, parseMeter } from '../time/meter.ts';
import { type Fraction, parseBeats } from './beats.ts';
import type { FormJump, FormMark } from './model.ts';

/** Where a token stands: line and column count from 1. */
interface TokenPlace {
  readonly line: number;
  readonly column: number;
  /** The characters as typed. */
  readonly text: string;
}

/** One sign or word of a line of bars. The first of the two steps of reading: no music is known here. */
export type Token = TokenPlace &
  (
    | { readonly kind: 'barline'; readonly repeatEnd: boolean; readonly repeatStart: boolean }
    | { readonly kind: 'times'; readonly times: number }
    | { readonly kind: 'ending'; readonly numbers: readonly number[] }
    | { readonly kind: 'meter'; readonly meter: Meter | null }
    | { readonly kind: 'length'; readonly beats: Fraction | null }
    | { readonly kind: 'simile' }
    | { readonly kind: 'hold' }
    | { readonly kind: 'mark'; readonly mark: FormMark }
    | { readonly kind: 'jump'; readonly jump: FormJump }
    | { readonly kind: 'chord'; readonly symbol: string; readonly beat: Fraction | null }
  );

type Reading = Token extends infer T
  ? T extends TokenPlace
    ? Omit<T, keyof TokenPlace>
    : never
  : never;

interface Rule {
  readonly pattern: RegExp;
  readonly read: (match: RegExpExecArray) => Reading | null;
}

const END = String.raw`(?=[\s|:,;\]]|$)`;

/** In the order they are tried; each pattern is anchored at the place reached. */
const RULES: readonly Rule[] = [
  {
    pattern: /(:?)(?:\|+\]?)(:?)/y,
    read: (m) => ({ kind: 'barline', repeatEnd: m[1] === ':', repeatStart: m[2] === ':' }),
  },
  { pattern: /%/y, read: () => ({ kind: 'simile' }) },
  { pattern: /\/(?=[\s|/:]|$)/y, read: () => ({ kind: 'hold' }) },
  {
    pattern: new RegExp(`(?:[x×]\\s?(\\d{1,3})|(\\d{1,3})\\s?[x×])${END}`, 'iy'),
    read: (m) => ({ kind: 'times', times: Number(m[1] ?? m[2]) }),
  },
  {
    pattern: /(\d{1,2}(?:\s?[,-]\s?\d{1,2})*)(?:\.|(?=[\s|]|$))/y,
    read: (m) => ({ kind: 'ending', numbers: endingNumbers(m[1] ?? '') }),
  },
  {
    pattern: /\(\s*(\d+\s?\/\s?\d+|C\|?)\s*\)(?=[\s|]|$)/y,
    read: (m) => (m[1] === 'C' ? null : { kind: 'meter', meter: parseMeter(m[1] ?? '') }),
  },
  {
    pattern: /\(([^()|]{0,20}?)\s*beats?\s*\)/iy,
    read: (m) => ({ kind: 'length', beats: parseBeats(m[1] ?? '') }),
  },
  {
    pattern: new RegExp(
      `(d\\.\\s?c\\.?|dc|da\\s+capo|d\\.\\s?s\\.?|ds|dal\\s+(?:segno|𝄋))(?:\\s*al(?:\\s+|\\.\\s*)(fine|coda|𝄌|end))?\\.?${END}`,
      'iuy',
    ),
    read: (m) => ({ kind: 'jump', jump: jumpOf(m[1] ?? '', m[2] ?? '') }),
  },
  {
    pattern: new RegExp(`to\\s+(?:coda|𝄌)${END}`, 'iuy'),
    read: () => ({ kind: 'mark', mark: 'to-coda' }),
  },
  {
    pattern: new RegExp(`(?:coda|𝄌)${END}`, 'iuy'),
    read: () => ({ kind: 'mark', mark: 'coda' }),
  },
  {
    pattern: new RegExp(`(?:segno|𝄋)${END}`, 'iuy'),
    read: () => ({ kind: 'mark', mark: 'segno' }),
  },
  { pattern: new RegExp(`fine${END}`, 'iy'), read: () => ({ kind: 'mark', mark: 'fine' }) },
  {
    pattern: new RegExp(`(?:n\\.?\\s?c\\.?|no\\s+chord)${END}`, 'iy'),
    read: () => ({ kind: 'chord', symbol: 'N.C.', beat: null }),
  },
  {
    pattern: /((?:\([^()|]{0,60}\)|[^\s|@])+)(?:@(\d{1,3}&|[\d.+/]{1,20}))?/uy,
    read: (m) => chordReading(m[1] ?? '', m[2]),
  },
  { pattern: /\S/uy, read: (m) => ({ kind: 'chord', symbol: m[0], beat: null }) },
];

function endingNumbers(text: string): number[] {
  const numbers: number[] = [];
  for (const part of text.split(',')) {
    const [from = 0, to = from] = part.split('-').map((n) => Number(n.trim()));
    for (let n = from; n <= to && numbers.length < 99; n++) numbers.push(n);
  }
  return numbers;
}

function jumpOf(where: string, al: string): FormJump {
  const to = /^da\s|c\.?$/iu.test(where) && !/segno/iu.test(where) ? 'capo' : 'segno';
  const word = al.toLowerCase();
  return { to, al: word === 'fine' ? 'fine' : word === 'coda' || word === '𝄌' ? 'coda' : 'end' };
}

/** Beat 0 is in no bar: what stands after `@` and is no number is reported with the bar. */
const NO_BEAT: Fraction = { over: 0, under: 1 };

/** A closing repeat sign may touch the chord before it (`C:|`): the colon is the sign's. */
function chordReading(symbol: string, beat: string | undefined): Reading {
  const at = beat === undefined ? null : (parseBeats(beat.replace(/&$/u, '+1/2')) ?? NO_BEAT);
  return { kind: 'chord', symbol: symbol.replace(/\s+/gu, ''), beat: at };
}

/**
 * Cuts one line of bars into tokens. Anything that is no sign of the form comes out as a chord, to be
 * judged by the chord reader.
 *
 * @param text  the line, without its line end
 * @param line  its number in the file, from 1
 * @param from  index of the first character to read (after a section's name), 0 as a rule
 * @example tokensOf('|: Cm7 / F7 / :|', 1).map((t) => t.kind)
 * // ['barline', 'chord', 'hold', 'chord', 'hold', 'barline']
 */
export function tokensOf(text: string, line: number, from = 0): Token[] {
  const tokens: Token[] = [];
  let index = from;
  while (index < text.length) {
    if (/\s/u.test(text[index] ?? '')) {
      index++;
      continue;
    }
    const token = tokenAt(text, line, index);
    tokens.push(token);
    index += token.text.length;
  }
  return tokens;
}

function tokenAt(text: string, line: number, index: number): Token {
  for (const rule of RULES) {
    rule.pattern.lastIndex = index;
    const match = rule.pattern.exec(text);
    if (!match || match[0] === '') continue;
    const reading = rule.read(match);
    if (!reading) continue;
    const found = withoutClosingColon(text, index, match[0], reading);
    return { line, column: index + 1, text: found.text, ...found.reading } as Token;
  }
  throw new Error(`No rule reads "${text.slice(index, index + 10)}"`);
}

/** `C:|` is a chord and a closing sign, not a chord named `C:`. */
function withoutClosingColon(text: string, index: number, found: string, reading: Reading) {
  if (reading.kind !== 'chord' || found.length < 2 || !found.endsWith(':')) {
    return { text: found, reading };
  }
  if (text[index + found.length] !== '|') return { text: found, reading };
  return {
    text: found.slice(0, -1),
    reading: { ...reading, symbol: reading.symbol.replace(/:$/u, '') },
  };
}
