import type { BarContent } from './content.ts';
import { fitsEnding } from './endings.ts';
import {
  chorusRow,
  foldedHeight,
  heightOf,
  PAPER,
  type RowsOver,
  wordRows,
} from './plan-height.ts';
import type { PageRoom } from './plan-page.ts';

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

/** How much a chorus may differ from the form printed for it, the rest being given in strips. */
export interface StripLimit {
  /** Bars, and their share of the form. */
  readonly bars: number;
  readonly share: number;
  /** Places in which they stand. */
  readonly places: number;
  /** Rows over one bar: other choruses' changes, cues, instructions. */
  readonly rows: number;
  /** Whether choruses that have one other ending get it printed so, whatever strips would save. */
  readonly endings: boolean;
}

/** What is planned: contents `[chorus][bar]` with their keys, and the limit. */
export interface ChartForm {
  readonly keys: Keys;
  readonly bars: Bars;
  readonly limit: StripLimit;
  readonly room: PageRoom;
  /** Which choruses are counted through, and what each is called. */
  readonly rests: readonly boolean[];
  readonly labels: readonly string[];
}

/** A block with its height in points, and what it asks of a reader's eye besides, in the same measure. */
export interface PricedBlock {
  readonly plan: BlockPlan;
  readonly height: number;
  readonly eye: number;
}

type Keys = readonly (readonly string[])[];
type Bars = readonly (readonly BarContent[])[];

/**
 * What a way of writing asks of the eye, in points of height: changes of another chorus over the bar, bars
 * to be found under the block, an ending, a cue that holds for some of the choruses only.
 */
const EYE = { over: 6, below: 18, ending: 12, cue: 4 } as const;

/** The form that prints choruses `from` to `to` in one block at least cost; null when they differ too much. */
export function blockFor(whole: ChartForm, from: number, to: number): PricedBlock | null {
  if (whole.rests.slice(from, to + 1).includes(true)) return restsFor(whole, from, to);
  const run = whole.bars.slice(from, to + 1);
  const keys = whole.keys.slice(from, to + 1);
  const [form = []] = run;
  const { width } = whole.room;
  const rows: RowsOver = (bar) => wordRows(columnOf(run, bar), true);
  const cues = partCues(run) * EYE.cue;
  if (from === to) {
    const height = PAPER.heading + foldedHeight(form, rows, width);
    return { plan: { from, to, form: 'once', tail: 0 }, height, eye: 0 };
  }
  if (keys.every((chorus) => prefix(chorus, keys[0] ?? []) === form.length)) {
    const height = PAPER.heading + heightOf(form, rows, width);
    return { plan: { from, to, form: 'repeat', tail: 0 }, height, eye: cues };
  }
  const endings = endingsFor(run, keys, from, width);
  // One other ending reads like any tune's; more of them say the same bars again and again.
  const two = endings !== null && endingGroups(keys, endings.plan.tail).length === 2;
  const strips = two && whole.limit.endings ? null : stripsFor(run, keys, whole, from);
  const [best] = [endings, strips]
    .filter((option) => option !== null)
    .sort((a, b) => a.height + a.eye - b.height - b.eye);
  return best ? { ...best, eye: best.eye + cues } : null;
}

/** Bars in which two choruses are the same from the start. */
export function prefix(a: readonly string[], b: readonly string[]): number {
  const at = a.findIndex((key, index) => key !== b[index]);
  return at < 0 ? a.length : at;
}

/** One line of rest for choruses of others that are called the same; null where they are not. */
function restsFor({ rests, labels }: ChartForm, from: number, to: number): PricedBlock | null {
  for (let at = from; at <= to; at++) if (!rests[at] || labels[at] !== labels[from]) return null;
  return { plan: { from, to, form: 'rests', tail: 0 }, height: PAPER.rest, eye: 0 };
}

function columnOf(run: Bars, bar: number): readonly BarContent[] {
  return run.flatMap((chorus) => chorus[bar] ?? []);
}

/** Cues that hold for some of the choruses only, and so must name them. */
function partCues(run: Bars): number {
  let count = 0;
  if (run.length === 1) return count;
  for (let bar = 0; bar < (run[0]?.length ?? 0); bar++) {
    const times = new Map<string, number>();
    for (const cue of run.flatMap((chorus) => chorus[bar]?.cues ?? []))
      times.set(JSON.stringify(cue), (times.get(JSON.stringify(cue)) ?? 0) + 1);
    count += [...times.values()].filter((seen) => seen < run.length).length;
  }
  return count;
}

/** Shared bars and endings, when choruses differ only at their ends; null when it is no ending. */
function endingsFor(run: Bars, keys: Keys, from: number, width: number): PricedBlock | null {
  const [form = []] = run;
  const shared = Math.min(...keys.map((chorus) => prefix(keys[0] ?? [], chorus)));
  const tail = form.length - shared;
  if (!fitsEnding(tail, form.length)) return null;
  const groups = endingGroups(keys, tail);
  const rows: RowsOver = (bar) => {
    const words = wordRows(columnOf(run, bar), true);
    return bar >= shared ? new Set([...words, 'ending']) : words;
  };
  const own = groups.slice(1).map((passes) => {
    const chorus = run[(passes[0] ?? 1) - 1]?.slice(shared) ?? [];
    return heightOf(chorus, (bar) => rows(bar + shared), width);
  });
  return {
    plan: { from, to: from + run.length - 1, form: 'endings', tail },
    height: PAPER.heading + heightOf(form, rows, width) + own.reduce((sum, each) => sum + each, 0),
    eye: groups.length * EYE.ending,
  };
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

/** A run of bars in which choruses differ from the form in one and the same way. */
export interface StripPlan {
  readonly from: number;
  readonly count: number;
  /** Choruses that have it, 0-based in the run. */
  readonly passes: readonly number[];
  readonly place: 'over' | 'below';
}

/** The strips that choruses need beside the first one's form, in the order they are played. */
export function stripPlans(run: Bars): readonly StripPlan[] {
  const [form = []] = run;
  const found = new Map<string, StripPlan & { passes: number[] }>();
  run.forEach((chorus, pass) => {
    for (const { from, count } of differences(form, chorus)) {
      const bars = chorus.slice(from, from + count);
      const key = `${from} ${bars.map((bar) => bar.key).join(' ')}`;
      const known = found.get(key);
      const implied = [...bars, ...form.slice(from, from + count)].every((bar) => bar.implied);
      if (known) known.passes.push(pass);
      else found.set(key, { from, count, passes: [pass], place: implied ? 'over' : 'below' });
    }
  });
  return [...found.values()].sort(
    (a, b) => (a.passes[0] ?? 0) - (b.passes[0] ?? 0) || a.from - b.from,
  );
}

/** Runs of bars in which a chorus differs from a form. */
function differences(
  form: readonly BarContent[],
  chorus: readonly BarContent[],
): readonly { readonly from: number; readonly count: number }[] {
  const runs: { from: number; count: number }[] = [];
  chorus.forEach(({ key }, index) => {
    if (key === form[index]?.key) return;
    const last = runs.at(-1);
    if (last && last.from + last.count === index) last.count++;
    else runs.push({ from: index, count: 1 });
  });
  return runs;
}

/** The first chorus' form with strips; null when a chorus needs more of them than the limit. */
function stripsFor(
  run: Bars,
  keys: Keys,
  { limit, room: { width } }: ChartForm,
  from: number,
): PricedBlock | null {
  const [form = []] = run;
  const strips = stripPlans(run);
  const over = strips.filter(({ place }) => place === 'over');
  const below = strips.filter(({ place }) => place === 'below');
  for (const pass of keys.keys()) {
    const own = strips.filter(({ passes }) => passes.includes(pass));
    const bars = own.reduce((sum, { count }) => sum + count, 0);
    if (bars > limit.bars || bars > form.length * limit.share || own.length > limit.places)
      return null;
  }
  const rows: RowsOver = (bar) => {
    const here = over.filter((strip) => bar >= strip.from && bar < strip.from + strip.count);
    const own = here.map(({ passes }) => chorusRow(passes[0] ?? 0));
    return new Set([...wordRows(columnOf(run, bar), over.length === 0), ...own]);
  };
  if (form.some((_, bar) => rows(bar).size > limit.rows)) return null;
  const bars = below.reduce((sum, { count }) => sum + Math.min(4, count + 0.5), 0);
  const lines = Math.ceil(bars / 4);
  return {
    plan: { from, to: from + run.length - 1, form: 'strips', tail: 0 },
    height: PAPER.heading + heightOf(form, rows, width) + lines * (PAPER.line + PAPER.row),
    eye: over.length * EYE.over + below.length * EYE.below,
  };
}
