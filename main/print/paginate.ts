import type { SetSystem } from './system.ts';

/** Heights a page offers, and the air between lines. Points. */
export interface PageRoom {
  readonly first: number;
  readonly later: number;
  /** Air between lines: usual, least, and most when a page is not full. */
  readonly gap: number;
  readonly tightGap: number;
  readonly wideGap: number;
}

/** Lines of one page with their tops, counted from below the head. */
export type PagePlan = readonly { readonly system: SetSystem; readonly y: number }[];

/**
 * Deals lines out to pages. One page where they fit, if need be with less air; else the fewest pages,
 * each beginning where a chorus or a section begins when the page before it is well filled,
 * so that nobody turns in mid-phrase.
 */
export function paginate(systems: readonly SetSystem[], room: PageRoom): readonly PagePlan[] {
  if (heightOf(systems, room.tightGap) <= room.first) return [spread(systems, room.first, room)];
  const plans: PagePlan[] = [];
  let from = 0;
  while (from < systems.length) {
    const height = plans.length === 0 ? room.first : room.later;
    const end = breakAfter(systems, from, height, room);
    plans.push(spread(systems.slice(from, end), height, room));
    from = end;
  }
  return plans;
}

/** Where a page had best end, best first; how full it must be then, and with how much air it may be filled. */
const BREAKS = [
  { opens: 'block', least: 0.5, gap: 'tightGap' },
  { opens: 'section', least: 0.62, gap: 'gap' },
] as const;

/** A last page should be at least so full. */
const THIN_PAGE = 0.25;

function heightOf(systems: readonly SetSystem[], gap: number): number {
  const lines = systems.reduce((sum, system) => sum + system.height, 0);
  return lines + Math.max(0, systems.length - 1) * gap;
}

/** Index after the last line of the page that starts at `from`. */
function breakAfter(
  systems: readonly SetSystem[],
  from: number,
  height: number,
  room: PageRoom,
): number {
  const rest = systems.slice(from);
  if (heightOf(rest, room.tightGap) <= height) return systems.length;
  const fits = (gap: number): number => {
    let end = from + 1;
    while (end < systems.length && heightOf(systems.slice(from, end + 1), gap) <= height) end++;
    return end;
  };
  const end = fits(room.gap);
  const filled = (at: number): number => heightOf(systems.slice(from, at), room.gap) / height;
  // What is left must not be a lone line or two on a page of their own.
  const leaves = (at: number): number => heightOf(systems.slice(at), room.gap) / room.later;
  for (const thin of [THIN_PAGE, 0]) {
    for (const { opens, least, gap } of BREAKS) {
      for (let at = fits(room[gap]); at > from + 1; at--)
        if (systems[at]?.opens[opens] && filled(at) >= least && leaves(at) >= thin) return at;
    }
  }
  return end;
}

/** Gives the lines their places: air is shared out evenly, within limits. */
function spread(systems: readonly SetSystem[], height: number, room: PageRoom): PagePlan {
  const lines = heightOf(systems, 0);
  const free = systems.length > 1 ? (height - lines) / (systems.length - 1) : 0;
  const gap = Math.max(room.tightGap, Math.min(room.wideGap, free));
  let y = 0;
  return systems.map((system) => {
    const placed = { system, y };
    y += system.height + gap;
    return placed;
  });
}
