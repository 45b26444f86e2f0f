import type { BarContent } from './content.ts';
import { type BlockPlan, blockFor, type ChartForm, prefix, type StripLimit } from './plan-block.ts';
import { foldedHeight, heightOf, PAPER, pagesOf, type RowsOver, wordRows } from './plan-height.ts';
import { type PlannedPaper, pageRoom } from './plan-page.ts';

/** How the last chorus is reached when it is not printed: back to a block, to its end or by way of a coda. */
export interface JumpPlan {
  readonly block: number;
  /** Bars printed as coda; 0 plays the block to its end. */
  readonly coda: number;
}

/** The whole chart before its bars are written. */
export interface ChartPlan {
  readonly blocks: readonly BlockPlan[];
  readonly jump: JumpPlan | null;
}

/** How the chart is to be laid out; see {@link planChart}. */
export type LayoutWish = 'auto' | 'compact' | 'written-out';

/**
 * Steps by which strips are let in, the easiest to read first: a chart takes the first one that needs the
 * fewest pages. The first is one line of music at most; `compact` goes to the last at once.
 */
const STEPS: readonly StripLimit[] = [
  { bars: 4, share: 1 / 4, places: 1, rows: 4, endings: true },
  { bars: 8, share: 1 / 4, places: 4, rows: 4, endings: true },
  { bars: 12, share: 2 / 5, places: 8, rows: 5, endings: false },
];

/** What a block and a jump ask of a reader's eye, in points of height. */
const EYE = { block: 12, jump: 24, coda: 36 } as const;

/**
 * Finds the shortest honest chart: which choruses are printed once for several, and whether the last one
 * is reached by a jump. Exact, by dynamic programming over the order of choruses; a reader plays the
 * blocks top to bottom, so each covers choruses that follow each other, and there is at most one jump.
 * More strips are let in only where they save a page: a chorus written out is easier to read.
 *
 * @param bars contents, `[chorus][bar]`; all choruses have the same bars
 * @param labels words of each chorus: ones that rest are counted together where they are called the same
 * @param paper what it is to be printed on
 */
export function planChart(
  bars: readonly (readonly BarContent[])[],
  wish: LayoutWish,
  labels: readonly string[] = [],
  paper: PlannedPaper = {},
): ChartPlan {
  if (wish === 'written-out')
    return {
      blocks: bars.map((_, at) => ({ from: at, to: at, form: 'once', tail: 0 })),
      jump: null,
    };
  const keys = bars.map((chorus) => chorus.map((bar) => bar.key));
  const rests = bars.map((chorus) => chorus.some((bar) => bar.other === 'counted'));
  const room = pageRoom(paper);
  let best: Priced | null = null;
  for (const limit of wish === 'compact' ? STEPS.slice(-1) : STEPS) {
    const plan = planWithin({ keys, bars, limit, room, rests, labels });
    if (!best || pagesOf(plan.height, room) < pagesOf(best.height, room)) best = plan;
    if (pagesOf(best.height, room) === 1) break;
  }
  return { blocks: best?.blocks ?? [], jump: best?.jump ?? null };
}

/** A chart or the beginning of one: its height, and that with what it asks of the eye. */
interface Priced extends ChartPlan {
  readonly height: number;
  readonly cost: number;
}

const NOTHING: Priced = { blocks: [], jump: null, height: 0, cost: 0 };

/** The cheapest chart within a limit, with or without a jump. */
function planWithin(form: ChartForm): Priced {
  const best = cheapest(form);
  const whole = best.at(-1) ?? NOTHING;
  const jumped = form.bars.length > 1 ? withJump(form, best.at(-2) ?? NOTHING) : null;
  return jumped && jumped.cost < whole.cost ? jumped : whole;
}

/** The cheapest ways to print the first choruses, from none of them to all. */
function cheapest(form: ChartForm): readonly Priced[] {
  const best: Priced[] = [NOTHING];
  for (let to = 0; to < form.bars.length; to++) {
    let found: Priced | null = null;
    for (let from = to; from >= 0; from--) {
      const before = best[from];
      const block = before && blockFor(form, from, to);
      if (!before || !block) continue;
      const height = before.height + block.height;
      const cost = before.cost + block.height + block.eye + EYE.block;
      if (!found || cost < found.cost)
        found = { blocks: [...before.blocks, block.plan], jump: null, height, cost };
    }
    if (found) best[to + 1] = found;
  }
  return best;
}

/**
 * Everything but the last chorus printed, and a jump for that one, where an earlier block serves.
 *
 * @param printed the cheapest way to print all but the last
 */
function withJump(form: ChartForm, printed: Priced): Priced | null {
  const { keys, bars } = form;
  const { width } = form.room;
  const count = keys.length - 1;
  if (form.rests[count]) return null;
  const last = keys[count] ?? [];
  let best: Priced | null = null;
  printed.blocks.forEach((block, index) => {
    if (block.form !== 'once' && block.form !== 'repeat') return;
    const chorus = bars[block.from] ?? [];
    const shared = Math.min(
      prefix(keys[block.from] ?? [], last),
      sameWords(bars.slice(block.from, block.to + 1), bars[count] ?? []),
    );
    const coda = last.length - shared;
    if (coda > last.length / 4 || (coda > 0 && shared === 0)) return;
    const tail = (bars[count] ?? []).slice(shared);
    const rows: RowsOver = (bar) => wordRows(tail.slice(bar, bar + 1), true);
    const more =
      coda > 0 ? PAPER.heading + heightOf(tail, rows, width) + unfolded(chorus, block, width) : 0;
    const height = printed.height + more;
    const cost = printed.cost + more + EYE.jump + (coda > 0 ? EYE.coda : 0);
    if (!best || cost < best.cost)
      best = { ...printed, height, cost, jump: { block: index, coda } };
  });
  return best;
}

/** What a chorus takes more where like sections of it are not folded, as on the way to a coda. */
function unfolded(chorus: readonly BarContent[], { form }: BlockPlan, width: number): number {
  const rows: RowsOver = (bar) => wordRows(chorus.slice(bar, bar + 1), true);
  return form === 'once' ? heightOf(chorus, rows, width) - foldedHeight(chorus, rows, width) : 0;
}

/** Bars from the start in which every chorus of a block has the words that another has: cues, instructions. */
function sameWords(
  block: readonly (readonly BarContent[])[],
  other: readonly BarContent[],
): number {
  const words = (bar: BarContent | undefined): string =>
    JSON.stringify([bar?.cues, bar?.directions]);
  const at = other.findIndex((bar, index) =>
    block.some((chorus) => words(chorus[index]) !== words(bar)),
  );
  return at < 0 ? other.length : at;
}
