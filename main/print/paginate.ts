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

/** Pages with their lines, and what speaks against them: 0 for open pages that turn between choruses. */
export interface Paginated {
  readonly pages: readonly PagePlan[];
  readonly cost: number;
}

/**
 * Deals lines out to pages: the fewest that hold them, if need be with less air; among those, each page
 * beginning where a chorus or a section begins, or at least a phrase of four bars, and the air such that
 * the closest page is as open as can be. Exact, by dynamic programming over the lines.
 */
export function paginate(systems: readonly SetSystem[], room: PageRoom): Paginated {
  const { pages, cost } = bestPages(systems, room);
  return {
    pages: pages.map(({ from, to, height }) => spread(systems.slice(from, to), height, room)),
    cost,
  };
}

/** Height of lines one under another with the least air. */
export function leastHeight(systems: readonly SetSystem[], { tightGap }: PageRoom): number {
  return heightOf(systems, tightGap);
}

/**
 * What a page may cost besides being a page: where the next one begins; lines set closer than usual, by the
 * square of what they lack, so that the page that lacks most counts most; a page that is far from full.
 */
const COST = {
  block: 0,
  section: 1,
  phrase: 4,
  midPhrase: 24,
  close: 24,
  uneven: 1,
  thin: 2,
} as const;

/** A last page should be at least so full. */
const THIN_PAGE = 0.25;

interface PageSpan {
  readonly from: number;
  readonly to: number;
  readonly height: number;
}

interface Dealt {
  readonly pages: readonly PageSpan[];
  readonly cost: number;
}

/** The best pages for all lines; a line taller than a page has one of its own. */
function bestPages(systems: readonly SetSystem[], room: PageRoom): Dealt {
  const count = systems.length;
  const rest: Dealt[] = [];
  rest[count] = { pages: [], cost: 0 };
  for (let from = count - 1; from >= 0; from--) {
    const height = from === 0 ? room.first : room.later;
    for (let to = from + 1; to <= count; to++) {
      const after = rest[to];
      if (!after) continue;
      if (to > from + 1 && heightOf(systems.slice(from, to), room.tightGap) > height) break;
      const cost = after.cost + pageCost(systems, from, to, height, room);
      const best = rest[from];
      const pages = after.pages.length + 1;
      const better =
        !best || pages < best.pages.length || (pages === best.pages.length && cost < best.cost);
      if (better) rest[from] = { pages: [{ from, to, height }, ...after.pages], cost };
    }
  }
  return rest[0] ?? { pages: [], cost: 0 };
}

function pageCost(
  systems: readonly SetSystem[],
  from: number,
  to: number,
  height: number,
  room: PageRoom,
): number {
  const next = systems[to];
  const lines = systems.slice(from, to);
  const full = heightOf(lines, room.gap) / height;
  const lacks = Math.max(0, (room.gap - airOf(lines, height, room)) / room.gap);
  const thin = from > 0 && full < THIN_PAGE ? COST.thin : 0;
  const turn = next ? COST[placeOf(next)] : 0;
  return turn + thin + COST.close * lacks ** 2 + COST.uneven * Math.max(0, 1 - full) ** 2;
}

/** The best that can be said of a page that begins with a line. */
function placeOf({ opens }: SetSystem): 'block' | 'section' | 'phrase' | 'midPhrase' {
  if (opens.block) return 'block';
  if (opens.section) return 'section';
  return opens.phrase ? 'phrase' : 'midPhrase';
}

/** Air between the lines of a page, within limits. */
function airOf(systems: readonly SetSystem[], height: number, room: PageRoom): number {
  const free = systems.length > 1 ? (height - heightOf(systems, 0)) / (systems.length - 1) : 0;
  return Math.max(room.tightGap, Math.min(room.wideGap, free));
}

function heightOf(systems: readonly SetSystem[], gap: number): number {
  const lines = systems.reduce((sum, system) => sum + system.height, 0);
  return lines + Math.max(0, systems.length - 1) * gap;
}

/** Gives the lines their places: air is shared out evenly, within limits. */
function spread(systems: readonly SetSystem[], height: number, room: PageRoom): PagePlan {
  const gap = airOf(systems, height, room);
  let y = 0;
  return systems.map((system) => {
    const placed = { system, y };
    y += system.height + gap;
    return placed;
  });
}
