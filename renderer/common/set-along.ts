/** A symbol on a line: where its time begins, px, and how wide it is at full size. */
export interface Standing {
  readonly x: number;
  readonly width: number;
}

/** How the symbols of one line are set: one size for all, each at its place. */
export interface Setting {
  /** Share of the full size. */
  readonly scale: number;
  /** Further narrowing of the letters alone where even the smallest size has no room; 1 is none. */
  readonly condense: number;
  readonly xs: readonly number[];
}

/**
 * Sizes tried, from full down to the smallest that is read at arm's length, each with the px by which a
 * symbol may begin before its time: the smaller the type would become, the more the place gives way.
 */
const TRIES = [
  { scale: 1, early: 6 },
  { scale: 0.92, early: 14 },
  { scale: 0.85, early: 30 },
  { scale: 0.78, early: 70 },
  { scale: 0.72, early: Number.POSITIVE_INFINITY },
] as const;

/** Below two fifths of its width no letter can be read. */
const NARROWEST = 0.4;

/**
 * Sets symbols along a line that ends at `end` px: none covers another, all have one size, and each begins
 * at its time or a little before it. The size gives way first, then the place, then the width of the
 * letters: a symbol that cannot be read is worse than one that begins early.
 *
 * @param line in order of time; x counts from the line's start
 * @example setAlong([{ x: 0, width: 40 }, { x: 80, width: 60 }], 120).xs // [0, 60]
 */
export function setAlong(line: readonly Standing[], end: number): Setting {
  for (const { scale, early } of TRIES) {
    const xs = placed(line, end, scale);
    const inside = (xs[0] ?? 0) >= 0;
    if (inside && line.every(({ x }, index) => x - (xs[index] ?? 0) <= early)) {
      return { scale, condense: 1, xs };
    }
  }
  const scale = TRIES[TRIES.length - 1]?.scale ?? 1;
  const condense = Math.max(NARROWEST, narrowing(line, end, scale));
  const xs = placed(line, end, scale * condense).map((x) => Math.max(0, x));
  return { scale, condense, xs };
}

/** How narrow the letters must be for every symbol to be over before the one after it begins. */
function narrowing(line: readonly Standing[], end: number, scale: number): number {
  let sum = 0;
  let least = 1;
  line.forEach(({ width }, index) => {
    sum += width * scale;
    least = Math.min(least, (line[index + 1]?.x ?? end) / sum);
  });
  return least;
}

/** From the right: each symbol at its time, or where the one after it leaves room. */
function placed(line: readonly Standing[], end: number, scale: number): readonly number[] {
  const xs: number[] = new Array(line.length);
  let limit = end;
  for (let index = line.length - 1; index >= 0; index--) {
    const { x, width } = line[index] as Standing;
    limit = Math.min(x, limit - width * scale);
    xs[index] = limit;
  }
  return xs;
}
