import type { PrintedMeasure } from '../../shared-core/parts/printed.ts';

/** Bars to a line where their symbols leave room; lines of more hold whole phrases of so many. */
const BARS_A_LINE = 4;

/**
 * Ordinals of the printed bars that start a line: a block, strip, coda or section starts one; between
 * those, bars stand four to a line, fewer where their symbols need the room, and never one alone when
 * the line above can lend it company. Short strips of a block share a line.
 *
 * @param widths least width of each printed bar
 * @param room width of a line
 * @param most bars to a line, a multiple of four
 */
export function lineStarts(
  printed: readonly PrintedMeasure[],
  widths: readonly number[],
  room: number,
  most = BARS_A_LINE,
): ReadonlySet<number> {
  const starts = new Set<number>();
  let from = 0;
  let line: StripLine | null = null;
  for (let ordinal = 1; ordinal <= printed.length; ordinal++) {
    const measure = printed[ordinal];
    if (measure && !opensLine(printed, ordinal)) continue;
    const stretch = widths.slice(from, ordinal);
    const pickup = printed[from]?.measure.number === 0 ? 1 : 0;
    const counts = fill(stretch, room, pickup, most);
    const joined: StripLine | null =
      counts.length === 1 ? joinedTo(line, printed[from], stretch, room) : null;
    let at = from;
    for (const count of counts) {
      if (!joined) starts.add(at);
      at += count;
    }
    line = joined ?? stripLine(printed[from], stretch, counts);
    from = ordinal;
  }
  return starts;
}

/** A line that holds strips only, and has room for others of its block. */
interface StripLine {
  readonly block: number;
  readonly bars: number;
  readonly width: number;
}

/** What a line costs that ends inside a phrase, where lines hold more than one. */
const BROKEN = 100;

/** Room between two strips on a line, as a share of the line. */
export const STRIP_GAP = 1 / 24;

function stripLine(
  first: PrintedMeasure | undefined,
  widths: readonly number[],
  counts: readonly number[],
): StripLine | null {
  if (first?.place !== 'strip' || counts.length !== 1) return null;
  return { block: first.block, bars: widths.length, width: sum(widths) };
}

/** The line a strip shares with the ones before it; null where it needs one of its own. */
function joinedTo(
  line: StripLine | null,
  first: PrintedMeasure | undefined,
  widths: readonly number[],
  room: number,
): StripLine | null {
  if (!line || first?.place !== 'strip' || first.block !== line.block) return null;
  const bars = line.bars + widths.length;
  const width = line.width + room * STRIP_GAP + sum(widths);
  return bars <= BARS_A_LINE && width <= room ? { block: line.block, bars, width } : null;
}

function sum(widths: readonly number[]): number {
  return widths.reduce((total, each) => total + each, 0);
}

/** Whether a line must start here. A pickup stands on the line of the bar it leads to. */
function opensLine(printed: readonly PrintedMeasure[], ordinal: number): boolean {
  const here = printed[ordinal];
  if (!here || here.position === 0) return true;
  const before = printed[ordinal - 1]?.measure;
  if (opensEnding(here.measure)) return true;
  return here.measure.rehearsal !== null && before?.number !== 0;
}

/** A later ending of two bars or more stands under the first one, at the start of a line. */
function opensEnding({ endingStart, endingStop, endings }: PrintedMeasure['measure']): boolean {
  return endingStart && !endingStop && !endings.includes(1);
}

/**
 * Bars on each line of one stretch: the fewest lines, then the evenest, fours first.
 *
 * @param pickup 1 where the stretch begins with a pickup, which takes no bar's place
 */
function fill(
  widths: readonly number[],
  room: number,
  pickup: number,
  most: number,
): readonly number[] {
  const memo = new Map<number, { readonly counts: readonly number[]; readonly cost: number }>();
  const best = (at: number): { readonly counts: readonly number[]; readonly cost: number } => {
    if (at >= widths.length) return { counts: [], cost: 0 };
    const known = memo.get(at);
    if (known) return known;
    let found: { counts: readonly number[]; cost: number } | null = null;
    const full = most + (at === 0 ? pickup : 0);
    for (let count = full; count >= 1; count--) {
      if (at + count > widths.length) continue;
      const width = sum(widths.slice(at, at + count));
      if (width > room && count > 1) continue;
      const rest = best(at + count);
      const ends = at + count === widths.length || (full - count) % BARS_A_LINE === 0;
      const broken = most > BARS_A_LINE && !ends ? BROKEN : 0;
      const cost = 10 + (full - count) ** 2 + broken + rest.cost;
      if (!found || cost < found.cost) found = { counts: [count, ...rest.counts], cost };
    }
    const result = found ?? { counts: [1], cost: 0 };
    memo.set(at, result);
    return result;
  };
  return best(0).counts;
}
