import { BIT, GROUP } from './degrees.ts';
import { ALT_MASK } from './quality.ts';
import { TOKEN, type Tokens } from './tokens.ts';

/**
 * Second step of reading a chord symbol: what the tokens make together. The answer is the mask of the
 * quality, normalised so that one chord has one mask:
 *
 * - a sixth beside a seventh is a thirteenth, a flat sixth beside one a flat thirteenth;
 * - the eleventh of a suspended fourth is that fourth, the ninth of a suspended second that second;
 * - `11` on a dominant has no third (players leave it out; it sounds as `9sus4`); `m11`, `maj11` keep it;
 * - `13` brings the ninth and not the eleventh; `b13` keeps the fifth; `b5` and `#5` replace it;
 * - a plain figure in brackets after a seventh chord raises it: `7(13)` is `13`, `m7(11)` is `m11`;
 *   after `add` it is only that note: `7add13`;
 * - in a triad, tensions in brackets are added notes: `(b9)` brings no seventh;
 * - `dim` and the circle are the triad, `dim7` the seventh chord (standards and libraries agree on
 *   this, some teachers write the circle for the seventh chord);
 * - but an altered tension after the word major brings the seventh: `maj#11` is `maj7#11`;
 * - a bare triangle is a major seventh; `4` is a suspended fourth, `2` an added ninth.
 */

/** The mask was not understood at `offset`. Packed into one negative number, to spare an object. */
export type Reading = number;

const QUALITY = 0;
const CONTRADICTION = 1;

/** Whether a reading failed. */
export function failed(reading: Reading): boolean {
  return reading < 0;
}

/** Offset and code of a failed reading. */
export function failureOf(reading: Reading): {
  offset: number;
  code: 'chord/quality' | 'chord/contradiction';
} {
  const packed = -reading - 1;
  return { offset: packed >> 1, code: packed & 1 ? 'chord/contradiction' : 'chord/quality' };
}

const TRIAD = { plain: 0, minor: 1, diminished: 2, halfDiminished: 3 } as const;

/** What has been read so far. One object, used again by every reading. */
const state = {
  triad: TRIAD.plain as number,
  /** Anything but an opening word has been seen: later words are alterations. */
  started: false,
  augmented: false,
  dominantWord: false,
  majorWord: false,
  majorSeventh: false,
  /** `maj7` written after another seventh: `m9(maj7)`, `dim7(maj7)`. */
  lateMajorSeventh: false,
  /** 0, 5, 6, 7, 9, 11, 13; six-nine is 6 with a ninth. */
  head: 0,
  /** Ninth and eleventh that a figure implies and an altered one replaces. */
  implied: 0,
  /** Tensions and other degrees written out. */
  written: 0,
  fifths: 0,
  suspension: 0,
  omitted: 0,
  addThird: false,
  alt: false,
  altAt: 0,
  depth: 0,
  /** Within the scope of an `add`. */
  adding: false,
  at: 0,
  failure: 0,
};

type State = typeof state;

function reset(s: State): void {
  s.triad = TRIAD.plain;
  s.started = false;
  s.augmented = false;
  s.dominantWord = false;
  s.majorWord = false;
  s.majorSeventh = false;
  s.lateMajorSeventh = false;
  s.head = 0;
  s.implied = 0;
  s.written = 0;
  s.fifths = 0;
  s.suspension = 0;
  s.omitted = 0;
  s.addThird = false;
  s.alt = false;
  s.altAt = 0;
  s.depth = 0;
  s.adding = false;
  s.at = 0;
  s.failure = 0;
}

function fail(s: State, offset: number, code: number): void {
  if (s.failure === 0) s.failure = -(offset * 2 + code) - 1;
}

/** Kind of the token after the current one, 0 at the end. */
function peek(t: Tokens, s: State, ahead = 1): number {
  const at = s.at + ahead;
  return at < t.count ? (t.kind[at] as number) : 0;
}

/** Figure of the token `ahead` places on when it is a number, else 0. */
function peekNumber(t: Tokens, s: State, ahead = 1): number {
  return peek(t, s, ahead) === TOKEN.number ? (t.value[s.at + ahead] as number) : 0;
}

/** Offset of the current token. */
function here(t: Tokens, s: State): number {
  return t.offset[s.at] as number;
}

/** Sets the word that opens the symbol (`m`, `dim`, `ø`); anywhere else it is out of place. */
function open(t: Tokens, s: State, triad: number): void {
  if (s.started) return fail(s, here(t, s), QUALITY);
  s.triad = triad;
  s.started = true;
}

/** `dim` and `aug` before a 5 alter the fifth (`dom7dim5`); else they open the symbol. */
function diminished(t: Tokens, s: State): void {
  if (s.head === 0) return open(t, s, TRIAD.diminished);
  if (peekNumber(t, s) !== 5) return fail(s, here(t, s), QUALITY);
  s.fifths |= BIT.b5;
  s.at++;
}

function augmented(t: Tokens, s: State): void {
  if (s.triad > TRIAD.minor || s.augmented) return fail(s, here(t, s), CONTRADICTION);
  s.augmented = true;
  s.started = true;
  if (s.head !== 0 && peekNumber(t, s) === 5) s.at++;
}

/** A dash is minor right after the root (but `-5` is a flat five), a flat before a figure. */
function dash(t: Tokens, s: State): void {
  if (!s.started && s.depth === 0 && peekNumber(t, s) !== 5) return open(t, s, TRIAD.minor);
  altered(t, s, -1);
}

/** A plus is a sharp before a figure, augmented after the root; `m+7` is a minor chord with a major seventh. */
function plus(t: Tokens, s: State): void {
  const next = peekNumber(t, s);
  const opening = s.head === 0 && s.depth === 0 && s.suspension === 0;
  if (opening && s.triad === TRIAD.minor && next === 7) {
    s.majorSeventh = true;
    s.started = true;
    return;
  }
  if (next !== 0 && !(opening && next >= 7)) return altered(t, s, 1);
  augmented(t, s);
}

/** `maj` and the triangle: with a figure a major seventh; alone the word is a triad, the sign a seventh. */
function major(t: Tokens, s: State, sign: boolean): void {
  let next = peekNumber(t, s);
  let ahead = 1;
  if (next === 0 && peek(t, s) === TOKEN.close && s.head === 0 && s.triad !== TRIAD.plain) {
    next = peekNumber(t, s, 2);
    ahead = 2;
  }
  if (s.head !== 0 || s.adding) return lateMajor(t, s, next, ahead);
  if (s.majorWord || s.majorSeventh || s.triad === TRIAD.halfDiminished) {
    return fail(s, here(t, s), CONTRADICTION);
  }
  if (next >= 7 && next !== 69) s.majorSeventh = true;
  else if (next === 5 || next === 4 || next === 2) fail(s, here(t, s), QUALITY);
  else if (next === 0) bareMajor(t, s, sign);
  s.majorWord = true;
  s.started = true;
}

/** `C` `maj` is a triad; a bare triangle, and any major sign after minor or diminished, is a seventh. */
function bareMajor(t: Tokens, s: State, sign: boolean): void {
  if (!sign && s.triad === TRIAD.plain) {
    if (s.depth > 0) fail(s, here(t, s), QUALITY);
    return;
  }
  s.majorSeventh = true;
  s.head = 7;
}

/** A major seventh written after the figure: `7M`, `m9(maj7)`, `6(maj7)`, `dim7(add maj7)`. */
function lateMajor(t: Tokens, s: State, next: number, ahead: number): void {
  if (next !== 0 && next !== 7) return fail(s, here(t, s), CONTRADICTION);
  if (s.majorSeventh || s.triad === TRIAD.halfDiminished) return fail(s, here(t, s), CONTRADICTION);
  if (next === 0) {
    const before = s.at > 0 && t.kind[s.at - 1] === TOKEN.number ? t.value[s.at - 1] : 0;
    if (before !== 7 && before !== 9) return fail(s, here(t, s), QUALITY);
    s.majorSeventh = true;
    return;
  }
  if (s.head >= 7 && s.triad === TRIAD.plain) return fail(s, here(t, s), CONTRADICTION);
  s.lateMajorSeventh = true;
  s.at += ahead;
}

/** `sus`, `sus2`, `sus4`; `sus#4` is refused by name instead of being read as a fourth and a sharp eleventh. */
function suspended(t: Tokens, s: State): void {
  const next = peekNumber(t, s);
  s.started = true;
  if (next === 2 || next === 4) {
    s.suspension |= next === 2 ? BIT.two : BIT.four;
    s.at++;
    return;
  }
  const kind = peek(t, s);
  const degree = peekNumber(t, s, 2);
  const altersIt = kind === TOKEN.sharp || kind === TOKEN.flat || kind === TOKEN.plus;
  if (altersIt && (degree === 4 || degree === 2)) {
    return fail(s, t.offset[s.at + 1] as number, QUALITY);
  }
  s.suspension |= BIT.four;
}

/** `no3`, `omit5`: takes a degree away. */
function omit(t: Tokens, s: State): void {
  while (peek(t, s) === TOKEN.separator) s.at++;
  s.started = true;
  switch (peekNumber(t, s)) {
    case 3:
      s.omitted |= GROUP.thirds;
      break;
    case 5:
      s.omitted |= GROUP.fifths;
      break;
    case 7:
      s.omitted |= GROUP.sevenths;
      break;
    case 9:
      s.omitted |= GROUP.ninths;
      break;
    case 11:
      s.omitted |= GROUP.elevenths;
      break;
    default:
      return fail(s, here(t, s), QUALITY);
  }
  s.at++;
}

/** `add`: what follows is only added, up to the end of its brackets. */
function add(t: Tokens, s: State): void {
  while (peek(t, s) === TOKEN.separator) s.at++;
  const kind = peek(t, s);
  const adds =
    kind === TOKEN.number ||
    kind === TOKEN.flat ||
    kind === TOKEN.sharp ||
    kind === TOKEN.plus ||
    kind === TOKEN.dash ||
    kind === TOKEN.major ||
    kind === TOKEN.triangle;
  if (!adds) return fail(s, here(t, s), QUALITY);
  s.adding = true;
  s.started = true;
}

/** A degree that `add` puts into the chord. */
function addNumber(t: Tokens, s: State, value: number): void {
  switch (value) {
    case 2:
    case 9:
      s.written |= BIT.nine;
      break;
    case 3:
      s.addThird = true;
      break;
    case 4:
    case 11:
      s.written |= BIT.eleven;
      break;
    case 6:
      s.written |= BIT.six;
      break;
    case 7:
      s.written |= BIT.b7;
      break;
    case 13:
      s.written |= BIT.thirteen;
      break;
    default:
      fail(s, here(t, s), QUALITY);
  }
  if (s.depth === 0) s.adding = false;
}

/** An accidental and its figure. `by` is -1 for flat, 1 for sharp. */
function altered(t: Tokens, s: State, by: number): void {
  const value = peekNumber(t, s);
  s.started = true;
  const bit = alteredBit(value, by);
  if (bit === 0) return fail(s, here(t, s), QUALITY);
  const onlyAdded = s.adding && (bit & GROUP.fifths) !== 0;
  if (onlyAdded) s.written |= bit === BIT.b5 ? BIT.s11 : BIT.b6;
  else if ((bit & GROUP.fifths) !== 0) s.fifths |= bit;
  else if (bit === BIT.seven) raiseSeventh(t, s);
  else writeAltered(s, bit);
  if (s.depth === 0) s.adding = false;
  s.at++;
}

/** An altered tension right after the word major (`maj#11`) says that the seventh is meant too. */
function writeAltered(s: State, bit: number): void {
  s.written |= bit;
  const tension = (bit & (GROUP.alteredNinths | BIT.s11 | BIT.b13)) !== 0;
  if (!tension || !s.majorWord || s.adding || s.head !== 0) return;
  s.majorSeventh = true;
  s.head = 7;
}

/** `m#7`, `m(#7)`: a minor chord with a major seventh. */
function raiseSeventh(t: Tokens, s: State): void {
  if (s.head !== 0 || s.triad === TRIAD.plain) return fail(s, here(t, s), CONTRADICTION);
  s.majorSeventh = true;
  s.head = 7;
}

/** Bit of an altered figure; 0 for one that is no degree of a chord (`b11`, `#13`, `b3`). */
function alteredBit(value: number, by: number): number {
  if (by < 0) {
    if (value === 5) return BIT.b5;
    if (value === 6) return BIT.b6;
    if (value === 7) return BIT.b7;
    if (value === 2 || value === 9) return BIT.b9;
    return value === 13 ? BIT.b13 : 0;
  }
  if (value === 5) return BIT.s5;
  if (value === 7) return BIT.seven;
  if (value === 2 || value === 9) return BIT.s9;
  return value === 4 || value === 11 ? BIT.s11 : 0;
}

/** A plain figure: the head of the chord, or, later and in brackets, a tension. */
function figure(t: Tokens, s: State): void {
  const value = t.value[s.at] as number;
  s.started = true;
  if (s.adding) return addNumber(t, s, value);
  const majorInBrackets = s.majorWord && s.depth > 0 && value > 7 && value !== 69;
  if (majorInBrackets && s.head === 0) s.majorSeventh = true;
  const heads = s.head === 0 && (s.depth === 0 || s.majorSeventh || value >= 6);
  const added = s.depth > 0 && value > 7 && value !== 69 && !s.majorSeventh;
  if (heads && !added) return head(t, s, value);
  tension(t, s, value);
}

function head(t: Tokens, s: State, value: number): void {
  switch (value) {
    case 2:
      s.written |= BIT.nine;
      return;
    case 4:
      s.suspension |= BIT.four;
      return;
    case 5:
      return power(t, s);
    case 69:
      s.head = 6;
      s.written |= BIT.nine;
      return;
    case 3:
      return fail(s, here(t, s), QUALITY);
    default:
      s.head = value;
      raise(s, value);
  }
}

function power(t: Tokens, s: State): void {
  const bare = s.triad === TRIAD.plain && !s.majorWord && !s.augmented && s.suspension === 0;
  if (!bare) return fail(s, here(t, s), CONTRADICTION);
  s.head = 5;
}

/** The tensions a figure names and implies. */
function raise(s: State, value: number): void {
  if (value === 9) s.written |= BIT.nine;
  if (value === 11) s.written |= BIT.eleven;
  if (value === 13) s.written |= BIT.thirteen;
  if (value > 9) s.implied |= BIT.nine;
}

/** A plain figure after the head: raises a seventh chord, is added to anything else. */
function tension(t: Tokens, s: State, value: number): void {
  if (value === 5 || value === 3 || value === 69) return fail(s, here(t, s), QUALITY);
  if (value === 4) {
    s.suspension |= BIT.four;
  } else if (value === 7) {
    laterSeventh(t, s);
  } else if (value < 9 || s.head < 7) {
    addNumber(t, s, value);
  } else {
    raise(s, value);
    if (value > s.head) s.head = value;
  }
}

/** A seventh written after the figure: `6(7)`; `6(7M)` and `m7(7M)` are the major seventh. */
function laterSeventh(t: Tokens, s: State): void {
  const kind = peek(t, s);
  const majorFollows = kind === TOKEN.major || kind === TOKEN.triangle;
  const already = s.head >= 7 && (s.triad === TRIAD.plain || !majorFollows);
  if (already) return fail(s, here(t, s), CONTRADICTION);
  if (majorFollows) {
    s.lateMajorSeventh = true;
    s.at++;
  } else {
    s.written |= BIT.b7;
  }
}

function bracket(t: Tokens, s: State, opening: boolean): void {
  s.depth += opening ? 1 : -1;
  if (s.depth < 0 || s.depth > 1) fail(s, here(t, s), QUALITY);
  if (opening && peek(t, s) === TOKEN.close) fail(s, here(t, s), QUALITY);
  if (!opening) s.adding = false;
}

function step(t: Tokens, s: State): void {
  switch (t.kind[s.at]) {
    case TOKEN.major:
      return major(t, s, false);
    case TOKEN.triangle:
      return major(t, s, true);
    case TOKEN.minor:
      return open(t, s, TRIAD.minor);
    case TOKEN.dash:
      return dash(t, s);
    case TOKEN.diminished:
      return diminished(t, s);
    case TOKEN.halfDiminished:
      return open(t, s, TRIAD.halfDiminished);
    case TOKEN.augmented:
      return augmented(t, s);
    case TOKEN.plus:
      return plus(t, s);
    case TOKEN.suspended:
      return suspended(t, s);
    case TOKEN.add:
      return add(t, s);
    case TOKEN.omit:
      return omit(t, s);
    case TOKEN.alt:
      s.alt = true;
      s.altAt = here(t, s);
      s.started = true;
      return;
    case TOKEN.dominant:
      open(t, s, TRIAD.plain);
      s.dominantWord = true;
      return;
    case TOKEN.flat:
      return altered(t, s, -1);
    case TOKEN.sharp:
      return altered(t, s, 1);
    case TOKEN.number:
      return figure(t, s);
    case TOKEN.open:
      return bracket(t, s, true);
    case TOKEN.close:
      return bracket(t, s, false);
    default:
      return;
  }
}

/**
 * What the scanned tokens make: the mask of the quality, or a failure (see {@link failureOf}).
 *
 * @param from offset of the suffix in the text, named when the whole of it contradicts itself
 * @param end offset of the end of the suffix, named when brackets stay open
 */
export function meaningOf(t: Tokens, from: number, end: number): Reading {
  const s = state;
  reset(s);
  while (s.at < t.count && s.failure === 0) {
    step(t, s);
    s.at++;
  }
  if (s.failure === 0 && s.depth !== 0) fail(s, end, QUALITY);
  if (s.failure !== 0) return s.failure;
  if (s.alt) return altMask(s);
  const mask = normalise(s, rawMask(s));
  return mask < 0 ? -(from * 2 + CONTRADICTION) - 1 : mask;
}

/** `7alt` stands alone: nothing can be altered, added or suspended beside it. */
function altMask(s: State): Reading {
  const alone =
    s.triad === TRIAD.plain &&
    !s.majorWord &&
    !s.majorSeventh &&
    !s.augmented &&
    (s.head === 0 || s.head === 7) &&
    (s.written | s.fifths | s.suspension | s.omitted) === 0;
  return alone ? ALT_MASK : -(s.altAt * 2 + CONTRADICTION) - 1;
}

/** All degrees together, before degrees that say the same are made one. Negative on a contradiction. */
function rawMask(s: State): number {
  if (s.dominantWord && s.head === 0) s.head = 7;
  if (s.triad === TRIAD.halfDiminished && s.head === 0) s.head = 7;
  if (s.triad >= TRIAD.diminished && s.suspension !== 0) return -1;
  if (s.head === 5 && s.suspension !== 0) return -1;
  const third = thirdOf(s);
  const seventh = seventhOf(s);
  if (third < 0 || seventh < 0) return -1;
  let mask = BIT.root | third | fifthsOf(s) | seventh | s.written;
  if (s.head === 6) mask |= BIT.six;
  if ((s.written & GROUP.alteredNinths) === 0) mask |= s.implied;
  return mask & ~s.omitted;
}

function thirdOf(s: State): number {
  const own = s.triad === TRIAD.plain ? BIT.three : BIT.b3;
  if (s.suspension !== 0) {
    if (!s.addThird) return s.suspension;
    return (s.suspension & BIT.two) !== 0 ? -1 : s.suspension | BIT.three;
  }
  if (s.addThird) return own === BIT.three ? own : -1;
  if (s.head === 5) return 0;
  const plainEleven = s.head === 11 && own === BIT.three && !s.majorSeventh;
  return plainEleven ? 0 : own;
}

function fifthsOf(s: State): number {
  let fifths = s.fifths;
  if (s.augmented) fifths |= BIT.s5;
  if (s.triad >= TRIAD.diminished) fifths |= BIT.b5;
  return fifths === 0 ? BIT.five : fifths;
}

function seventhOf(s: State): number {
  if (s.head < 7) {
    if (s.lateMajorSeventh) return BIT.seven;
    return s.majorSeventh ? -1 : 0;
  }
  if (s.majorSeventh) return BIT.seven;
  if (s.triad === TRIAD.diminished) {
    return s.lateMajorSeventh ? BIT.bb7 | BIT.seven : BIT.bb7;
  }
  return s.lateMajorSeventh ? BIT.seven : BIT.b7;
}

/** Makes degrees that say the same one degree; negative when two cannot stand together. */
function normalise(s: State, raw: number): number {
  if (raw < 0) return -1;
  let mask = raw;
  const sevenths = mask & GROUP.sevenths;
  if (sevenths !== 0 && (mask & BIT.six) !== 0) mask = (mask & ~BIT.six) | BIT.thirteen;
  if ((mask & BIT.six) !== 0) mask &= ~BIT.thirteen;
  if ((mask & BIT.b6) !== 0 && (sevenths !== 0 || (mask & BIT.six) !== 0)) {
    mask = (mask & ~BIT.b6) | BIT.b13;
  }
  if ((mask & BIT.four) !== 0) mask &= ~BIT.eleven;
  if ((mask & BIT.two) !== 0) mask &= ~BIT.nine;
  return contradicts(s, mask) ? -1 : mask;
}

function contradicts(s: State, mask: number): boolean {
  const naturalNinth = mask & (BIT.nine | BIT.two);
  if (naturalNinth !== 0 && (mask & GROUP.alteredNinths) !== 0) return true;
  if ((mask & GROUP.elevenths) === GROUP.elevenths) return true;
  if ((mask & GROUP.thirteenths) === GROUP.thirteenths) return true;
  if ((mask & BIT.b6) !== 0 && (mask & GROUP.thirteenths) !== 0) return true;
  const sevenths = mask & GROUP.sevenths;
  const both = sevenths === (BIT.bb7 | BIT.seven) && s.triad === TRIAD.diminished;
  return (sevenths & (sevenths - 1)) !== 0 && !both;
}
