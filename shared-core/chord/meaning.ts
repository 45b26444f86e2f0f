import { combine } from './combine.ts';
import { BIT, GROUP } from './degrees.ts';
import { type Heard, nothingHeard, TRIAD } from './heard.ts';
import { SECOND_AND_FOURTH, TOKEN, type Tokens } from './tokens.ts';

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

/** Nothing failed so far. */
const OK = 0;
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

/** A failed reading: the code and the offset in one negative number. */
function fail(offset: number, code: number): Reading {
  return -(offset * 2 + code) - 1;
}

/** Kind of the token after the current one, 0 at the end. */
function peek(t: Tokens, s: Heard, ahead = 1): number {
  const at = s.at + ahead;
  return at < t.count ? (t.kind[at] as number) : 0;
}

/** Figure of the token `ahead` places on when it is a number, else 0. */
function peekNumber(t: Tokens, s: Heard, ahead = 1): number {
  return peek(t, s, ahead) === TOKEN.number ? (t.value[s.at + ahead] as number) : 0;
}

/** Offset of the current token. */
function here(t: Tokens, s: Heard): number {
  return t.offset[s.at] as number;
}

/** Sets the word that opens the symbol (`m`, `dim`, `ø`); anywhere else it is out of place. */
function open(t: Tokens, s: Heard, triad: number): Reading {
  if (s.started) return fail(here(t, s), QUALITY);
  s.triad = triad;
  s.started = true;
  return OK;
}

/** `dim` and `aug` before a 5 alter the fifth (`dom7dim5`); else they open the symbol. */
function diminished(t: Tokens, s: Heard): Reading {
  if (s.head === 0) return open(t, s, TRIAD.diminished);
  if (peekNumber(t, s) !== 5) return fail(here(t, s), QUALITY);
  s.fifths |= BIT.b5;
  s.at++;
  return OK;
}

function augmented(t: Tokens, s: Heard): Reading {
  if (s.triad > TRIAD.minor || s.augmented) return fail(here(t, s), CONTRADICTION);
  s.augmented = true;
  s.started = true;
  if (s.head !== 0 && peekNumber(t, s) === 5) s.at++;
  return OK;
}

/** A dash is minor right after the root (but `-5` is a flat five), a flat before a figure. */
function dash(t: Tokens, s: Heard): Reading {
  if (!s.started && s.depth === 0 && peekNumber(t, s) !== 5) return open(t, s, TRIAD.minor);
  return altered(t, s, -1);
}

/** A plus is a sharp before a figure, augmented after the root; `m+7` is a minor chord with a major seventh. */
function plus(t: Tokens, s: Heard): Reading {
  const next = peekNumber(t, s);
  const opening = s.head === 0 && s.depth === 0 && s.suspension === 0;
  if (opening && s.triad === TRIAD.minor && next === 7) {
    s.majorSeventh = true;
    s.started = true;
    return OK;
  }
  if (next !== 0 && !(opening && next >= 7)) return altered(t, s, 1);
  return augmented(t, s);
}

/** `maj` and the triangle: with a figure a major seventh; alone the word is a triad, the sign a seventh. */
function major(t: Tokens, s: Heard, sign: boolean): Reading {
  let next = peekNumber(t, s);
  let ahead = 1;
  if (next === 0 && peek(t, s) === TOKEN.close && s.head === 0 && s.triad !== TRIAD.plain) {
    next = peekNumber(t, s, 2);
    ahead = 2;
  }
  if (s.head !== 0 || s.adding) return lateMajor(t, s, next, ahead);
  if (s.majorWord || s.majorSeventh || s.triad === TRIAD.halfDiminished) {
    return fail(here(t, s), CONTRADICTION);
  }
  if (next > 0 && next < 6) return fail(here(t, s), QUALITY);
  if (next >= 7 && next !== 69) s.majorSeventh = true;
  s.majorWord = true;
  s.started = true;
  return next === 0 ? bareMajor(t, s, sign) : OK;
}

/** `C` `maj` is a triad; a bare triangle, and any major sign after minor or diminished, is a seventh. */
function bareMajor(t: Tokens, s: Heard, sign: boolean): Reading {
  if (!sign && s.triad === TRIAD.plain) {
    return s.depth > 0 ? fail(here(t, s), QUALITY) : OK;
  }
  s.majorSeventh = true;
  s.head = 7;
  return OK;
}

/** A major seventh written after the figure: `7M`, `m9(maj7)`, `6(maj7)`, `dim7(add maj7)`. */
function lateMajor(t: Tokens, s: Heard, next: number, ahead: number): Reading {
  if (next !== 0 && next !== 7) return fail(here(t, s), CONTRADICTION);
  if (s.majorSeventh || s.triad === TRIAD.halfDiminished) return fail(here(t, s), CONTRADICTION);
  if (next === 0) {
    const before = s.at > 0 && t.kind[s.at - 1] === TOKEN.number ? t.value[s.at - 1] : 0;
    if (before !== 7 && before !== 9) return fail(here(t, s), QUALITY);
    s.majorSeventh = true;
    return OK;
  }
  if (s.head >= 7 && s.triad === TRIAD.plain) return fail(here(t, s), CONTRADICTION);
  s.lateMajorSeventh = true;
  s.at += ahead;
  if (s.depth === 0) s.adding = false;
  return OK;
}

/** What each figure after `sus` puts in place of the third. */
const SUSPENDED: Readonly<Record<number, number>> = {
  2: BIT.two,
  4: BIT.four,
  [SECOND_AND_FOURTH]: BIT.two | BIT.four,
};

/** `sus`, `sus2`, `sus4`, `sus24`; `sus#4` is refused by name instead of being read as a fourth and a sharp eleventh. */
function suspended(t: Tokens, s: Heard): Reading {
  const next = peekNumber(t, s);
  s.started = true;
  const degrees = SUSPENDED[next] ?? 0;
  if (degrees !== 0) {
    s.suspension |= degrees;
    s.at++;
    return OK;
  }
  const kind = peek(t, s);
  const degree = peekNumber(t, s, 2);
  const altersIt = kind === TOKEN.sharp || kind === TOKEN.flat || kind === TOKEN.plus;
  if (altersIt && (degree === 4 || degree === 2)) {
    return fail(t.offset[s.at + 1] as number, QUALITY);
  }
  s.suspension |= BIT.four;
  return OK;
}

/** What each figure after `no` takes away. */
const OMITTED: Readonly<Record<number, number>> = {
  3: GROUP.thirds,
  5: GROUP.fifths,
  7: GROUP.sevenths,
  9: GROUP.ninths,
  11: GROUP.elevenths,
};

/** `no3`, `omit5`: takes a degree away. */
function omit(t: Tokens, s: Heard): Reading {
  while (peek(t, s) === TOKEN.separator) s.at++;
  s.started = true;
  const degrees = OMITTED[peekNumber(t, s)] ?? 0;
  if (degrees === 0) return fail(here(t, s), QUALITY);
  s.omitted |= degrees;
  s.at++;
  return OK;
}

/** `add`: what follows is only added, up to the end of its brackets. */
function add(t: Tokens, s: Heard): Reading {
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
  if (!adds) return fail(here(t, s), QUALITY);
  s.adding = true;
  s.started = true;
  return OK;
}

/** The degree each plain figure adds; an added seventh is the minor one (MusicXML 4.0, degree-value). */
const ADDED: Readonly<Record<number, number>> = {
  2: BIT.nine,
  3: BIT.three,
  4: BIT.eleven,
  6: BIT.six,
  7: BIT.b7,
  9: BIT.nine,
  11: BIT.eleven,
  13: BIT.thirteen,
};

/** A degree that `add` puts into the chord. */
function addNumber(t: Tokens, s: Heard, value: number): Reading {
  const degree = ADDED[value] ?? 0;
  if (degree === 0) return fail(here(t, s), QUALITY);
  if (degree === BIT.three) s.addThird = true;
  else s.written |= degree;
  if (s.depth === 0) s.adding = false;
  return OK;
}

/** An accidental and its figure. `by` is -1 for flat, 1 for sharp. */
function altered(t: Tokens, s: Heard, by: number): Reading {
  const value = peekNumber(t, s);
  s.started = true;
  const bit = alteredBit(value, by);
  if (bit === 0) return fail(here(t, s), QUALITY);
  if (bit === BIT.seven) return raiseSeventh(t, s);
  if ((bit & GROUP.fifths) === 0) writeAltered(s, bit);
  else if (s.adding) s.written |= bit === BIT.b5 ? BIT.s11 : BIT.b6;
  else s.fifths |= bit;
  if (s.depth === 0) s.adding = false;
  s.at++;
  return OK;
}

/** An altered tension right after the word major (`maj#11`) says that the seventh is meant too. */
function writeAltered(s: Heard, bit: number): void {
  s.written |= bit;
  const tension = (bit & (GROUP.alteredNinths | BIT.s11 | BIT.b13)) !== 0;
  if (!tension || !s.majorWord || s.adding || s.head !== 0) return;
  s.majorSeventh = true;
  s.head = 7;
}

/** `m#7`, `m(#7)`: a minor chord with a major seventh. */
function raiseSeventh(t: Tokens, s: Heard): Reading {
  if (s.head !== 0 || s.triad === TRIAD.plain) return fail(here(t, s), CONTRADICTION);
  s.majorSeventh = true;
  s.head = 7;
  s.at++;
  return OK;
}

/** Bit of an altered figure; 0 for one that is no degree of a chord (`b11`, `#13`, `b3`). */
function alteredBit(value: number, by: number): number {
  return (by < 0 ? FLATTED : SHARPED)[value] ?? 0;
}

const FLATTED: Readonly<Record<number, number>> = {
  2: BIT.b9,
  5: BIT.b5,
  6: BIT.b6,
  7: BIT.b7,
  9: BIT.b9,
  13: BIT.b13,
};

const SHARPED: Readonly<Record<number, number>> = {
  2: BIT.s9,
  4: BIT.s11,
  5: BIT.s5,
  7: BIT.seven,
  9: BIT.s9,
  11: BIT.s11,
};

/** A plain figure: the head of the chord, or, later and in brackets, a tension. */
function figure(t: Tokens, s: Heard): Reading {
  const value = t.value[s.at] as number;
  s.started = true;
  if (value === SECOND_AND_FOURTH) return fail(here(t, s), QUALITY);
  if (s.adding) return addNumber(t, s, value);
  const seventh = value >= 7 && value !== 69;
  // The word major stands apart from its figure: `maj 7`, `maj(9)`.
  if (seventh && s.majorWord && s.head === 0) s.majorSeventh = true;
  const heads = s.head === 0 && (s.depth === 0 || s.majorSeventh || value >= 6);
  const added = s.depth > 0 && value > 7 && value !== 69 && !s.majorSeventh;
  return heads && !added ? head(t, s, value) : tension(t, s, value);
}

function head(t: Tokens, s: Heard, value: number): Reading {
  switch (value) {
    case 2:
      s.written |= BIT.nine;
      return OK;
    case 4:
      s.suspension |= BIT.four;
      return OK;
    case 5:
      return power(t, s);
    case 69:
      s.head = 6;
      s.written |= BIT.nine;
      return OK;
    case 3:
      return fail(here(t, s), QUALITY);
    default:
      s.head = value;
      raise(s, value);
      return OK;
  }
}

function power(t: Tokens, s: Heard): Reading {
  const bare = s.triad === TRIAD.plain && !s.majorWord && !s.augmented && s.suspension === 0;
  if (!bare) return fail(here(t, s), CONTRADICTION);
  s.head = 5;
  return OK;
}

/** The tensions a figure names and implies. */
function raise(s: Heard, value: number): void {
  if (value === 9) s.written |= BIT.nine;
  if (value === 11) s.written |= BIT.eleven;
  if (value === 13) s.written |= BIT.thirteen;
  if (value > 9) s.implied |= BIT.nine;
}

/** A plain figure after the head: raises a seventh chord, is added to anything else. */
function tension(t: Tokens, s: Heard, value: number): Reading {
  if (value === 5 || value === 3 || value === 69) return fail(here(t, s), QUALITY);
  if (value === 7) return laterSeventh(t, s);
  if (value !== 4 && (value < 9 || s.head < 7)) return addNumber(t, s, value);
  if (value === 4) s.suspension |= BIT.four;
  raise(s, value);
  if (value > s.head) s.head = value;
  return OK;
}

/** A seventh written after the figure: `6(7)`; `6(7M)` and `m7(7M)` are the major seventh. */
function laterSeventh(t: Tokens, s: Heard): Reading {
  const kind = peek(t, s);
  const majorFollows = kind === TOKEN.major || kind === TOKEN.triangle;
  const already = s.head >= 7 && (s.triad === TRIAD.plain || !majorFollows);
  if (already) return fail(here(t, s), CONTRADICTION);
  if (majorFollows) {
    s.lateMajorSeventh = true;
    s.at++;
  } else {
    s.written |= BIT.b7;
  }
  return OK;
}

function bracket(t: Tokens, s: Heard, opening: boolean): Reading {
  s.depth += opening ? 1 : -1;
  const empty = opening && peek(t, s) === TOKEN.close;
  if (s.depth < 0 || s.depth > 1 || empty) return fail(here(t, s), QUALITY);
  if (!opening) s.adding = false;
  return OK;
}

function alt(t: Tokens, s: Heard): Reading {
  s.alt = true;
  s.altAt = here(t, s);
  s.started = true;
  return OK;
}

function dominant(t: Tokens, s: Heard): Reading {
  s.dominantWord = true;
  return open(t, s, TRIAD.plain);
}

type Step = (t: Tokens, s: Heard) => Reading;

/** What each kind of token does, at the index of its kind. */
const STEPS: readonly Step[] = (() => {
  const steps: Step[] = Array(TOKEN.separator + 1).fill(() => OK);
  steps[TOKEN.major] = (t, s) => major(t, s, false);
  steps[TOKEN.triangle] = (t, s) => major(t, s, true);
  steps[TOKEN.minor] = (t, s) => open(t, s, TRIAD.minor);
  steps[TOKEN.dash] = dash;
  steps[TOKEN.diminished] = diminished;
  steps[TOKEN.halfDiminished] = (t, s) => open(t, s, TRIAD.halfDiminished);
  steps[TOKEN.augmented] = augmented;
  steps[TOKEN.plus] = plus;
  steps[TOKEN.suspended] = suspended;
  steps[TOKEN.add] = add;
  steps[TOKEN.omit] = omit;
  steps[TOKEN.alt] = alt;
  steps[TOKEN.dominant] = dominant;
  steps[TOKEN.flat] = (t, s) => altered(t, s, -1);
  steps[TOKEN.sharp] = (t, s) => altered(t, s, 1);
  steps[TOKEN.number] = figure;
  steps[TOKEN.open] = (t, s) => bracket(t, s, true);
  steps[TOKEN.close] = (t, s) => bracket(t, s, false);
  return steps;
})();

/**
 * What the scanned tokens make: the mask of the quality, or a failure (see {@link failureOf}).
 *
 * @param from offset of the suffix in the text, named when the whole of it contradicts itself
 * @param end offset of the end of the suffix, named when brackets stay open
 */
export function meaningOf(t: Tokens, from: number, end: number): Reading {
  const s = nothingHeard();
  for (; s.at < t.count; s.at++) {
    const step = STEPS[t.kind[s.at] as number] as Step;
    const reading = step(t, s);
    if (failed(reading)) return reading;
  }
  if (s.depth !== 0) return fail(end, QUALITY);
  const mask = combine(s);
  return mask < 0 ? fail(s.alt ? s.altAt : from, CONTRADICTION) : mask;
}
