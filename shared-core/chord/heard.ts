/** Which opening word a symbol has. The order matters: from `diminished` on the fifth is flat. */
export const TRIAD = { plain: 0, minor: 1, diminished: 2, halfDiminished: 3 } as const;

/** What has been read of one symbol so far, before it is put together (`combine.ts`). */
export interface Heard {
  /** A value of {@link TRIAD}. */
  triad: number;
  /** Something has been said: a later `m` or `dim` is out of place, a later dash is a flat. */
  started: boolean;
  augmented: boolean;
  dominantWord: boolean;
  majorWord: boolean;
  majorSeventh: boolean;
  /** A major seventh written after another figure: `m9(maj7)`, `6(maj7)`, `dim7(add maj7)`. */
  lateMajorSeventh: boolean;
  /** 0, 5, 6, 7, 9, 11 or 13; six-nine is 6 with a written ninth. */
  head: number;
  /** The ninth a figure implies, which an altered one replaces. */
  implied: number;
  /** Degrees written out, as bits. */
  written: number;
  /** Altered fifths, as bits. */
  fifths: number;
  suspension: number;
  omitted: number;
  addThird: boolean;
  alt: boolean;
  /** Offset of `alt`, to name it when something stands beside it. */
  altAt: number;
  /** 1 within brackets. */
  depth: number;
  /** Within the scope of an `add`. */
  adding: boolean;
  /** Place of the current token. */
  at: number;
}

/** A state in which nothing has been said. */
export function nothingHeard(): Heard {
  return {
    triad: TRIAD.plain,
    started: false,
    augmented: false,
    dominantWord: false,
    majorWord: false,
    majorSeventh: false,
    lateMajorSeventh: false,
    head: 0,
    implied: 0,
    written: 0,
    fifths: 0,
    suspension: 0,
    omitted: 0,
    addThird: false,
    alt: false,
    altAt: 0,
    depth: 0,
    adding: false,
    at: 0,
  };
}
