import type { Floating } from './floating.ts';
import { moveItem } from './place.ts';

/** How far words of a chorus may give way to the left of their beat, in points at normal size. */
const NUDGE = 24;

/**
 * The rows of what stands over a line for single choruses: one a chorus as long as its words find room in
 * it, so that a player reads along the row of the chorus being played; the first chorus on top.
 *
 * @param size 1, or what large print is of it
 * @returns lowest row first
 */
export function chorusRows(
  floatings: readonly Floating[],
  size: number,
): readonly (readonly Floating[])[] {
  const choruses = [...new Set(floatings.map(({ chorus }) => chorus ?? 0))].sort((a, b) => b - a);
  return choruses.flatMap((chorus) => {
    const own = floatings.filter((floating) => (floating.chorus ?? 0) === chorus);
    const rows: Floating[][] = [];
    for (const floating of [...own].sort((a, b) => a.x - b.x)) {
      const found = rows.some((row) => join(row, floating, size));
      if (!found) rows.push([floating]);
    }
    return rows;
  });
}

/** Whether two boxes leave each other room. */
export function apart(a: Floating, b: Floating): boolean {
  return a.x + a.width <= b.x || b.x + b.width <= a.x;
}

/** Adds words to the end of a row where they find room; gives back whether they did. */
function join(row: Floating[], next: Floating, size: number): boolean {
  const last = row.at(-1);
  if (!last || last.x + last.width <= next.x) {
    row.push(next);
    return true;
  }
  const end = last.x + last.width;
  const short = next.after;
  if (short && end <= short.x) {
    row.splice(-1, 1, together(last, short));
    return true;
  }
  const over = end - next.x;
  const before = row.at(-2);
  const free = last.x - (before ? before.x + before.width : last.least);
  if (over > Math.min(NUDGE * size, free)) return false;
  row.splice(-1, 1, shifted(last, -over), next);
  return true;
}

/** Words and what directly follows them as one box, so that nothing comes between. */
function together(first: Floating, second: Floating): Floating {
  return {
    ...first,
    width: second.x + second.width - first.x,
    height: Math.max(first.height, second.height),
    draw: (baseline) => [...first.draw(baseline), ...second.draw(baseline)],
  };
}

function shifted(floating: Floating, dx: number): Floating {
  return {
    ...floating,
    x: floating.x + dx,
    draw: (baseline) => floating.draw(baseline).map((item) => moveItem(item, dx, 0)),
  };
}
