import { TICKS_PER_QUARTER, type Ticks } from '../time/meter.ts';
import { parseBeats, reduced, ticksOf } from './beats.ts';

const WHOLE = TICKS_PER_QUARTER * 4;

/** Note lengths as the trade says them, longest first. */
const WORDS: readonly (readonly [string, Ticks])[] = [
  ['whole', WHOLE],
  ['half', WHOLE / 2],
  ['quarter', WHOLE / 4],
  ['eighth', WHOLE / 8],
  ['sixteenth', WHOLE / 16],
  ['thirty-second', WHOLE / 32],
];

/** Words that change the length after them: `dotted half` is half as long again, and so on. */
const PREFIXES: readonly (readonly [string, number, number])[] = [
  ['dotted', 3, 2],
  ['double-dotted', 7, 4],
  ['triplet', 2, 3],
];

/**
 * Ticks of a note length: words (`quarter`, `dotted half`, `triplet eighth`) or a fraction of a whole
 * note (`1/4`, `3/8`, `1/12`), with dots after it where wanted (`1/4.`). Null for anything else and for
 * lengths that are no whole number of ticks.
 *
 * @example lengthOf('dotted quarter') // 1440
 */
export function lengthOf(text: string): Ticks | null {
  const words = text.trim().toLowerCase().split(/\s+/u);
  const last = words.pop() ?? '';
  const named = WORDS.find(([word]) => last === word || last === `${word}s`)?.[1];
  const base = named ?? fractionOf(last);
  if (base === null) return null;
  let ticks: Ticks = base;
  for (const word of words) {
    const prefix = PREFIXES.find(([name]) => name === word);
    if (!prefix) return null;
    ticks = (ticks * prefix[1]) / prefix[2];
  }
  return Number.isSafeInteger(ticks) && ticks > 0 ? ticks : null;
}

/** Whether a word can begin or end a length, so that a reader knows where one stands. */
export function isLengthWord(text: string): boolean {
  const word = text.toLowerCase();
  return (
    PREFIXES.some(([name]) => name === word) ||
    WORDS.some(([name]) => name === word || `${name}s` === word) ||
    /^\d+\/\d+\.{0,2}$/u.test(word)
  );
}

/** Whether more of the length must follow. */
export function isLengthPrefix(text: string): boolean {
  return PREFIXES.some(([name]) => name === text.toLowerCase());
}

function fractionOf(text: string): Ticks | null {
  const match = /^(\d{1,5}\/\d{1,5})(\.{0,2})$/u.exec(text);
  const fraction = match && parseBeats(match[1] ?? '');
  const ticks = fraction && ticksOf(fraction, WHOLE);
  if (!ticks) return null;
  const dots = match[2]?.length ?? 0;
  return dots === 0 ? ticks : dots === 1 ? (ticks * 3) / 2 : (ticks * 7) / 4;
}

/**
 * The plainest way to write a length: a word, a dotted word, a triplet word, or else the fraction of a
 * whole note.
 *
 * @example lengthText(640) // 'triplet quarter'
 */
export function lengthText(ticks: Ticks): string {
  const plain = WORDS.find(([, length]) => length === ticks);
  if (plain) return plain[0];
  for (const [prefix, over, under] of PREFIXES) {
    const word = WORDS.find(([, length]) => length * over === ticks * under);
    if (word) return `${prefix} ${word[0]}`;
  }
  const { over, under } = reduced(ticks, WHOLE);
  return `${over}/${under}`;
}
