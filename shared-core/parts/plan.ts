import type { BarContent } from './content.ts';

/** A printed block before its bars are written: which choruses, in what form. */
export interface BlockPlan {
  /** First and last chorus, 0-based. */
  readonly from: number;
  readonly to: number;
  /**
   * `once`: one chorus; `repeat`: like choruses said so many times; `endings`: alike but for their last
   * `tail` bars; `strips`: one printed form, other bars given apart; `rests`: choruses of others,
   * counted through in one line.
   */
  readonly form: 'once' | 'repeat' | 'endings' | 'strips' | 'rests';
  readonly tail: number;
}

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

/** An ending is at most so many bars, and at most half the form. Common practice, no source. */
const LONGEST_ENDING = 4;
/** Bars a chorus may have in strips beside the form, in how many places: one line of music at most. */
const STRIP_LIMIT = { auto: { bars: 4, places: 1 }, compact: { bars: 8, places: 3 } } as const;
/** Printed bars that a strip, an ending or a jump costs a reader's eye besides its own bars; a cue that holds for some of the choruses only. */
const EYE = { strip: 2, ending: 1, jump: 1, coda: 2, cue: 0.5, rests: 2 } as const;

/**
 * Finds the shortest honest chart: which choruses are printed once for several, and whether the last one
 * is reached by a jump. Exact, by dynamic programming over the order of choruses; a reader plays the
 * blocks top to bottom, so each covers choruses that follow each other, and there is at most one jump.
 *
 * @param bars contents, `[chorus][bar]`; all choruses have the same bars
 * @param labels words of each chorus: ones that rest are counted together where they are called the same
 */
export function planChart(
  bars: readonly (readonly BarContent[])[],
  wish: LayoutWish,
  labels: readonly string[] = [],
): ChartPlan {
  if (wish === 'written-out')
    return {
      blocks: bars.map((_, at) => ({ from: at, to: at, form: 'once', tail: 0 })),
      jump: null,
    };
  const keys = bars.map((chorus) => chorus.map((bar) => bar.key));
  const rests = bars.map((chorus) => chorus.some((bar) => bar.other === 'counted'));
  const form: Form = { keys, bars, wish, rests, labels };
  const whole = cheapest(form, bars.length);
  const jumped = bars.length > 1 ? withJump(form) : null;
  return jumped && jumped.cost < whole.cost
    ? { blocks: jumped.blocks, jump: jumped.jump }
    : { blocks: whole.blocks, jump: null };
}

type Keys = readonly (readonly string[])[];

/** What is planned: the bars, their keys, and the wish. */
interface Form {
  readonly keys: Keys;
  readonly bars: readonly (readonly BarContent[])[];
  readonly wish: 'auto' | 'compact';
  /** Which choruses are counted through, and what each is called. */
  readonly rests: readonly boolean[];
  readonly labels: readonly string[];
}

interface Priced {
  readonly blocks: readonly BlockPlan[];
  readonly cost: number;
}

/** The cheapest way to print the first `count` choruses. */
function cheapest(form: Form, count: number): Priced {
  const best: Priced[] = [{ blocks: [], cost: 0 }];
  for (let to = 0; to < count; to++) {
    let found: Priced | null = null;
    for (let from = to; from >= 0; from--) {
      const before = best[from];
      const block = before && blockFor(form, from, to);
      if (!before || !block) continue;
      const cost = before.cost + block.cost + partCues(form, from, to) * EYE.cue + 1;
      if (!found || cost < found.cost) found = { blocks: [...before.blocks, block.plan], cost };
    }
    if (found) best[to + 1] = found;
  }
  return best[count] ?? { blocks: [], cost: 0 };
}

interface PricedBlock {
  readonly plan: BlockPlan;
  readonly cost: number;
}

/** One line of rest for choruses of others that are called the same; null where they are not. */
function restsFor({ rests, labels }: Form, from: number, to: number): PricedBlock | null {
  for (let at = from; at <= to; at++) if (!rests[at] || labels[at] !== labels[from]) return null;
  return { plan: { from, to, form: 'rests', tail: 0 }, cost: EYE.rests };
}

/** The form that prints choruses `from` to `to` in one block at least cost; null when they differ too much. */
function blockFor(whole: Form, from: number, to: number): PricedBlock | null {
  const { keys, wish, rests } = whole;
  if (rests.slice(from, to + 1).includes(true)) return restsFor(whole, from, to);
  const form = keys[from];
  if (!form) return null;
  const length = form.length;
  if (from === to) return { plan: { from, to, form: 'once', tail: 0 }, cost: length };
  const run = keys.slice(from, to + 1);
  if (run.every((chorus) => same(chorus, form)))
    return { plan: { from, to, form: 'repeat', tail: 0 }, cost: length };
  const endings = endingsFor(run);
  const strips = stripsFor(run, STRIP_LIMIT[wish]);
  const options = [
    ...(endings
      ? [{ plan: { from, to, form: 'endings' as const, tail: endings.tail }, cost: endings.cost }]
      : []),
    ...(strips === null
      ? []
      : [{ plan: { from, to, form: 'strips' as const, tail: 0 }, cost: length + strips }]),
  ];
  options.sort((a, b) => a.cost - b.cost);
  return options[0] ?? null;
}

/** Cues in choruses `from` to `to` that hold for some of them only, and so must name their chorus. */
function partCues({ bars }: Form, from: number, to: number): number {
  if (from === to) return 0;
  const run = bars.slice(from, to + 1);
  let count = 0;
  for (let bar = 0; bar < (run[0]?.length ?? 0); bar++) {
    const times = new Map<string, number>();
    for (const chorus of run)
      for (const cue of chorus[bar]?.cues ?? [])
        times.set(JSON.stringify(cue), (times.get(JSON.stringify(cue)) ?? 0) + 1);
    count += [...times.values()].filter((seen) => seen < run.length).length;
  }
  return count;
}

function same(a: readonly string[], b: readonly string[]): boolean {
  return a.every((key, index) => key === b[index]);
}

/** Length of the tails and printed bars when choruses differ only at their ends; null when it is no ending. */
function endingsFor(run: Keys): { readonly tail: number; readonly cost: number } | null {
  const form = run[0] ?? [];
  const shared = Math.min(...run.map((chorus) => prefix(form, chorus)));
  const tail = form.length - shared;
  if (tail > LONGEST_ENDING || tail > form.length / 2) return null;
  const groups = endingGroups(run, tail);
  return { tail, cost: shared + groups.length * (tail + EYE.ending) };
}

function prefix(a: readonly string[], b: readonly string[]): number {
  const at = a.findIndex((key, index) => key !== b[index]);
  return at < 0 ? a.length : at;
}

/**
 * Passes (1-based) that share each ending, in printed order. The last pass' ending is printed last,
 * and apart from an equal earlier one, since after it the music goes on.
 */
export function endingGroups(run: Keys, tail: number): readonly (readonly number[])[] {
  const groups: { key: string; passes: number[] }[] = [];
  run.forEach((chorus, index) => {
    const key = chorus.slice(chorus.length - tail).join(' ');
    const known = index < run.length - 1 ? groups.find((group) => group.key === key) : undefined;
    if (known) known.passes.push(index + 1);
    else groups.push({ key, passes: [index + 1] });
  });
  return groups.map((group) => group.passes);
}

/** Cost of the strips beside the first chorus' form; null when a chorus needs more than the limit. */
function stripsFor(
  run: Keys,
  limit: { readonly bars: number; readonly places: number },
): number | null {
  const form = run[0] ?? [];
  const seen = new Set<string>();
  let cost = 0;
  for (const chorus of run.slice(1)) {
    const places = differences(form, chorus);
    const bars = places.reduce((sum, place) => sum + place.count, 0);
    if (bars > limit.bars || bars > form.length / 4 || places.length > limit.places) return null;
    for (const place of places) {
      const key = `${place.from} ${chorus.slice(place.from, place.from + place.count).join(' ')}`;
      if (seen.has(key)) continue;
      seen.add(key);
      cost += place.count + EYE.strip;
    }
  }
  return cost;
}

/** Runs of bars in which a chorus differs from a form. */
export function differences(
  form: readonly string[],
  chorus: readonly string[],
): readonly { readonly from: number; readonly count: number }[] {
  const runs: { from: number; count: number }[] = [];
  chorus.forEach((key, index) => {
    if (key === form[index]) return;
    const last = runs.at(-1);
    if (last && last.from + last.count === index) last.count++;
    else runs.push({ from: index, count: 1 });
  });
  return runs;
}

/** Everything but the last chorus printed, and a jump for that one, where an earlier block serves. */
function withJump(form: Form): (Priced & { readonly jump: JumpPlan }) | null {
  const { keys } = form;
  const count = keys.length - 1;
  if (form.rests[count]) return null;
  const last = keys[count] ?? [];
  const printed = cheapest(form, count);
  let best: (Priced & { readonly jump: JumpPlan }) | null = null;
  printed.blocks.forEach((block, index) => {
    if (block.form !== 'once' && block.form !== 'repeat') return;
    const shared = prefix(keys[block.from] ?? [], last);
    const coda = last.length - shared;
    if (coda > last.length / 4 || (coda > 0 && shared === 0)) return;
    const cost = printed.cost + EYE.jump + (coda > 0 ? coda + EYE.coda : 0);
    if (!best || cost < best.cost) best = { ...printed, cost, jump: { block: index, coda } };
  });
  return best;
}
