import { BIT, GROUP } from './degrees.ts';
import { type Heard, TRIAD } from './heard.ts';
import { ALT_MASK } from './quality.ts';

/**
 * Puts what was heard together into the mask of a quality, one mask for one chord.
 *
 * @returns the mask, or -1 when two of its parts cannot stand together (`9(b9)`, `dimsus4`, `7alt(13)`)
 */
export function combine(s: Heard): number {
  return s.alt ? altMask(s) : normalise(s, rawMask(s));
}

/** `7alt` stands alone: nothing can be altered, added or suspended beside it. */
function altMask(s: Heard): number {
  const alone =
    s.triad === TRIAD.plain &&
    !s.majorWord &&
    !s.majorSeventh &&
    !s.augmented &&
    (s.head === 0 || s.head === 7) &&
    (s.written | s.fifths | s.suspension | s.omitted) === 0;
  return alone ? ALT_MASK : -1;
}

/** All degrees together, before degrees that say the same are made one. Negative on a contradiction. */
function rawMask(s: Heard): number {
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

function thirdOf(s: Heard): number {
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

function fifthsOf(s: Heard): number {
  let fifths = s.fifths;
  if (s.augmented) fifths |= BIT.s5;
  if (s.triad >= TRIAD.diminished) fifths |= BIT.b5;
  return fifths === 0 ? BIT.five : fifths;
}

function seventhOf(s: Heard): number {
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
function normalise(s: Heard, raw: number): number {
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

function contradicts(s: Heard, mask: number): boolean {
  const naturalNinth = mask & (BIT.nine | BIT.two);
  if (naturalNinth !== 0 && (mask & GROUP.alteredNinths) !== 0) return true;
  if ((mask & GROUP.elevenths) === GROUP.elevenths) return true;
  if ((mask & GROUP.thirteenths) === GROUP.thirteenths) return true;
  if ((mask & BIT.b6) !== 0 && (mask & GROUP.thirteenths) !== 0) return true;
  const sevenths = mask & GROUP.sevenths;
  const both = sevenths === (BIT.bb7 | BIT.seven) && s.triad === TRIAD.diminished;
  return (sevenths & (sevenths - 1)) !== 0 && !both;
}
