import type { Proposal } from './model.ts';
import { rounded, WEIGHTS } from './weights.ts';

/** One chorus of one span: what may stand there. */
export interface SpanCell {
  readonly intensity: number;
  readonly fixed: Proposal | 'hand' | null;
  readonly candidates: readonly Proposal[];
}

/** The choices of one span over all choruses, solved for every number of changed choruses. */
export interface SpanPlan {
  /** `worth[m]`: best total with exactly m changed free choruses; -Infinity where it cannot be. */
  readonly worth: Float64Array;
  /** Option index for each chorus of the best plan with m changed choruses. */
  choose(changed: number): readonly number[];
  /** The objective of any choice of options: what `worth` maximises. */
  valueOf(pick: readonly number[]): number;
  /** Words, proposal and runner-up for one chorus of a choice. */
  describe(pick: readonly number[], chorus: number): SpanChoice;
}

/** What stands in one chorus, and why. */
export interface SpanChoice {
  readonly proposal: Proposal | 'hand' | null;
  readonly fixed: boolean;
  readonly why: string;
  readonly runnerUp: { readonly proposal: Proposal | null; readonly behind: number } | null;
}

/** One option of a cell: the best proposal of its device and degree. */
interface Option {
  readonly proposal: Proposal | 'hand' | null;
  /** Device and degree, `plain` or `hand`: what repetition is measured by. */
  readonly kind: string;
  readonly device: string;
  readonly worth: number;
  /** 1 when it counts as changed time of a free chorus. */
  readonly changed: 0 | 1;
}

const NONE = Number.NEGATIVE_INFINITY;

/** Solves one span. See `planArc` for the objective. */
export function planSpan(cells: readonly SpanCell[]): SpanPlan {
  const options = cells.map(optionsOf);
  const free = cells.filter((cell) => cell.intensity > 0).length;
  const worth = new Float64Array(free + 1).fill(NONE);
  const plans: (readonly number[])[] = [];
  for (const first of (options[0] ?? []).keys()) {
    const chain = solveChain(options, first, free);
    for (let changed = 0; changed <= free; changed++) {
      const end = chain.best(changed);
      if (end.value > (worth[changed] ?? NONE)) {
        worth[changed] = end.value;
        plans[changed] = chain.trace(changed, end.option);
      }
    }
  }
  return {
    worth,
    choose: (changed) => plans[changed] ?? [],
    valueOf: (pick) => objective(options, pick),
    describe: (pick, chorus) => describe(cells, options, pick, chorus),
  };
}

function optionsOf(cell: SpanCell): Option[] {
  const free = cell.intensity > 0;
  if (cell.fixed === 'hand')
    return [{ proposal: 'hand', kind: 'hand', device: 'hand', worth: 0, changed: free ? 1 : 0 }];
  if (cell.fixed) return [optionFor(cell.fixed, cell.intensity, free)];
  const plain = (1 - cell.intensity / 5) * WEIGHTS.arc.calm;
  const best = new Map<string, Option>();
  for (const proposal of cell.candidates) {
    const option = optionFor(proposal, cell.intensity, free);
    const other = best.get(option.kind);
    if (
      !other ||
      option.worth > other.worth ||
      (option.worth === other.worth && before(option, other))
    ) {
      best.set(option.kind, option);
    }
  }
  return [
    { proposal: null, kind: 'plain', device: 'plain', worth: plain, changed: 0 },
    ...best.values(),
  ];
}

/** Ties fall to the earlier id, so that every machine chooses alike. */
function before(a: Option, b: Option): boolean {
  return idOf(a) < idOf(b);
}

function idOf(option: Option): string {
  return option.proposal === null || option.proposal === 'hand' ? '' : option.proposal.id;
}

function optionFor(proposal: Proposal, intensity: number, free: boolean): Option {
  const match = 1 - Math.abs(proposal.peak - intensity / 5);
  return {
    proposal,
    kind: `${proposal.device}.${proposal.degree}`,
    device: proposal.device,
    worth: proposal.score + match * WEIGHTS.arc.tensionMatch,
    changed: free ? 1 : 0,
  };
}

/** Price of two options in neighbouring choruses: a device said twice running; another degree of it is half as stale. */
function repeatPrice(a: Option, b: Option): number {
  if (a.device !== b.device || a.device === 'plain' || a.device === 'hand') return 0;
  return WEIGHTS.arc.repeat * (a.kind === b.kind ? 1 : WEIGHTS.freshness.otherDegree);
}

/** Reward of the last chorus for doing what the first did. */
function homecoming(first: Option, last: Option): number {
  return first.kind === last.kind && first.kind !== 'hand' ? WEIGHTS.arc.homecoming : 0;
}

/** The objective of one span for a full choice of options. */
function objective(options: readonly (readonly Option[])[], pick: readonly number[]): number {
  let value = 0;
  let beforeIt: Option | undefined;
  for (let chorus = 0; chorus < options.length; chorus++) {
    const option = options[chorus]?.[pick[chorus] ?? 0];
    if (!option) continue;
    value += option.worth - (beforeIt ? repeatPrice(beforeIt, option) : 0);
    beforeIt = option;
  }
  const first = options[0]?.[pick[0] ?? 0];
  if (options.length > 1 && first && beforeIt) value += homecoming(first, beforeIt);
  return value;
}

interface Chain {
  best(changed: number): { value: number; option: number };
  trace(changed: number, option: number): readonly number[];
}

/**
 * Best chains that begin with a given option: value[chorus][option][changed]. A step costs the number of
 * options, not its square: the price of a neighbour is zero unless the devices are the same, so the best
 * of all others is read from the two best devices of the chorus before.
 */
function solveChain(options: readonly (readonly Option[])[], first: number, free: number): Chain {
  const width = free + 1;
  const values: Float64Array[] = [];
  const froms: Int16Array[] = [];
  options.forEach((row, chorus) => {
    const value = new Float64Array(row.length * width).fill(NONE);
    const from = new Int16Array(row.length * width).fill(-1);
    if (chorus === 0) {
      const start = row[first];
      if (start) value[first * width + start.changed] = start.worth;
    } else {
      extend(
        options[chorus - 1] ?? [],
        values[chorus - 1] ?? new Float64Array(),
        row,
        value,
        from,
        width,
      );
    }
    values.push(value);
    froms.push(from);
  });
  addHomecoming(options, values, first, width);
  const last = options.length - 1;
  return {
    best: (changed) =>
      bestEnd(values[last] ?? new Float64Array(), options[last]?.length ?? 0, width, changed),
    trace(changed, option) {
      const pick: number[] = [];
      let at = option;
      let left = changed;
      for (let chorus = last; chorus >= 0; chorus--) {
        pick.unshift(at);
        const previous = froms[chorus]?.[at * width + left] ?? -1;
        left -= options[chorus]?.[at]?.changed ?? 0;
        at = previous;
      }
      return pick;
    },
  };
}

function extend(
  beforeRow: readonly Option[],
  beforeValue: Float64Array,
  row: readonly Option[],
  value: Float64Array,
  from: Int16Array,
  width: number,
): void {
  for (let used = 0; used < width; used++) {
    const top = topTwo(beforeRow, beforeValue, width, used);
    for (let index = 0; index < row.length; index++) {
      const option = row[index];
      if (!option || used + option.changed >= width) continue;
      const best = bestBefore(option, beforeRow, beforeValue, width, used, top);
      if (best.value === NONE) continue;
      const at = index * width + used + option.changed;
      value[at] = best.value + option.worth;
      from[at] = best.option;
    }
  }
}

interface Top {
  /** Best option of all, and the best one of another device. */
  readonly first: number;
  readonly second: number;
}

function topTwo(row: readonly Option[], value: Float64Array, width: number, used: number): Top {
  let first = -1;
  let second = -1;
  const worth = (index: number): number =>
    index < 0 ? NONE : (value[index * width + used] ?? NONE);
  for (let index = 0; index < row.length; index++) {
    if (worth(index) > worth(first)) {
      if (first >= 0 && row[first]?.device !== row[index]?.device) second = first;
      first = index;
    } else if (row[index]?.device !== row[first]?.device && worth(index) > worth(second)) {
      second = index;
    }
  }
  return { first, second };
}

function bestBefore(
  option: Option,
  row: readonly Option[],
  value: Float64Array,
  width: number,
  used: number,
  top: Top,
): { value: number; option: number } {
  const worth = (index: number): number =>
    index < 0 ? NONE : (value[index * width + used] ?? NONE);
  if (row[top.first]?.device !== option.device)
    return { value: worth(top.first), option: top.first };
  let best = { value: worth(top.second), option: top.second };
  for (let index = 0; index < row.length; index++) {
    const other = row[index];
    if (!other || other.device !== option.device) continue;
    const priced = worth(index) - repeatPrice(other, option);
    if (priced > best.value) best = { value: priced, option: index };
  }
  return best;
}

function addHomecoming(
  options: readonly (readonly Option[])[],
  values: readonly Float64Array[],
  first: number,
  width: number,
): void {
  const last = options.length - 1;
  const start = options[0]?.[first];
  const value = values[last];
  if (last < 1 || !start || !value) return;
  options[last]?.forEach((option, index) => {
    const reward = homecoming(start, option);
    if (reward === 0) return;
    for (let used = 0; used < width; used++)
      value[index * width + used] = (value[index * width + used] ?? NONE) + reward;
  });
}

function bestEnd(
  value: Float64Array,
  count: number,
  width: number,
  changed: number,
): { value: number; option: number } {
  let best = { value: NONE, option: -1 };
  for (let index = 0; index < count; index++) {
    const end = value[index * width + changed] ?? NONE;
    if (end > best.value) best = { value: end, option: index };
  }
  return best;
}

function describe(
  cells: readonly SpanCell[],
  options: readonly (readonly Option[])[],
  pick: readonly number[],
  chorus: number,
): SpanChoice {
  const cell = cells[chorus];
  const row = options[chorus] ?? [];
  const chosen = row[pick[chorus] ?? 0];
  if (!cell || !chosen) throw new Error(`The arc has no chorus ${chorus}`);
  const next = runnerUp(options, pick, chorus);
  const fixed = cell.fixed !== null;
  return { proposal: chosen.proposal, fixed, why: reasonFor(cell, chosen, fixed), runnerUp: next };
}

function runnerUp(
  options: readonly (readonly Option[])[],
  pick: readonly number[],
  chorus: number,
): SpanChoice['runnerUp'] {
  const now = objective(options, pick);
  let best: SpanChoice['runnerUp'] = null;
  (options[chorus] ?? []).forEach((option, index) => {
    if (index === pick[chorus] || option.proposal === 'hand') return;
    const other = objective(options, pick.with(chorus, index));
    const behind = rounded(now - other);
    if (best === null || behind < best.behind) best = { proposal: option.proposal, behind };
  });
  return best;
}

function reasonFor(cell: SpanCell, chosen: Option, fixed: boolean): string {
  if (chosen.proposal === 'hand') return 'Written by hand; left as it is.';
  if (fixed) return 'Accepted before; left as it is.';
  if (chosen.proposal === null) {
    return cell.intensity === 0
      ? 'This chorus stays as written.'
      : 'Left plain, so that the movement elsewhere is heard.';
  }
  const { device, peak, score } = chosen.proposal;
  return `Intensity ${cell.intensity} of 5: ${device.replaceAll('-', ' ')} peaks at ${Math.round(peak * 5)} of 5 and scores ${Math.round(score * 100)}.`;
}
