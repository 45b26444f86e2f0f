import type { ChorusPlan } from '../arrangement/model.ts';
import type { BarContent } from './content.ts';
import type {
  PartBlock,
  PartCue,
  PartDirection,
  PartEvent,
  PartJump,
  PartMeasure,
  PartStrip,
} from './model.ts';
import { type BlockPlan, type ChartPlan, differences, endingGroups } from './plan.ts';
import { blockHeading, chorusLabel } from './road.ts';
import { foldSections, markEnding } from './sections.ts';

type Bars = readonly (readonly BarContent[])[];

/** Writes the bars a plan asks for. */
export function writeBlocks(
  bars: Bars,
  choruses: readonly ChorusPlan[],
  plan: ChartPlan,
  foldInside: boolean,
): { readonly blocks: readonly PartBlock[]; readonly jump: PartJump | null } {
  const blocks = plan.blocks.map((block, index) => {
    const target = plan.jump?.block === index;
    const written = writeBlock(bars, choruses, block, foldInside && !target);
    const last = index === plan.blocks.length - 1;
    return closeBlock(written, last && !plan.jump ? 'final' : 'double');
  });
  const jump = plan.jump ? writeJump(bars, choruses, plan, blocks) : null;
  return { blocks: jump ? blocks.map((block, at) => announced(block, at, jump)) : blocks, jump };
}

/** The block a jump goes back to says so over its first bar. */
function announced(block: PartBlock, at: number, jump: PartJump): PartBlock {
  if (at !== jump.block) return block;
  return { ...block, heading: `${block.heading} · last time: ${jump.heading}` };
}

function writeBlock(
  bars: Bars,
  choruses: readonly ChorusPlan[],
  plan: BlockPlan,
  foldInside: boolean,
): PartBlock {
  const run = bars.slice(plan.from, plan.to + 1);
  const numbers = run.map((_, index) => plan.from + index + 1);
  const heading = blockHeading(choruses.slice(plan.from, plan.to + 1));
  const strips: readonly PartStrip[] = [];
  const base = { heading, choruses: numbers, strips, rests: plan.form === 'rests' };
  switch (plan.form) {
    case 'once': {
      const measures = mergedMeasures(run, numbers, numbers);
      const shown = run[0]?.[0]?.other === 'shown';
      return { ...base, measures: foldInside || shown ? foldSections(measures) : measures };
    }
    case 'rests':
      return { ...base, measures: mergedMeasures(run.slice(0, 1), numbers, numbers) };
    case 'repeat':
      return { ...base, measures: repeated(mergedMeasures(run, numbers, numbers), run.length) };
    case 'endings':
      return { ...base, measures: withEndings(run, numbers, plan.tail) };
    case 'strips': {
      const strips = stripsOf(run, numbers);
      return {
        ...base,
        measures: repeated(pointingAt(strips, mergedStripForm(run, numbers)), run.length),
        strips,
      };
    }
  }
}

/** Repeat signs round a form played more than once. */
function repeated(measures: readonly PartMeasure[], times: number): PartMeasure[] {
  const last = measures.length - 1;
  return measures.map((measure, index) => ({
    ...measure,
    repeatStart: index === 0,
    repeatEnd: index === last ? times : 0,
  }));
}

/**
 * One bar for the same bar of several choruses. Cues and instructions that not every chorus of `all`
 * has say which; an instruction they all share changes the notes where it does.
 */
function mergedMeasures(
  run: Bars,
  numbers: readonly number[],
  all: readonly number[],
): PartMeasure[] {
  const form = run[0] ?? [];
  return form.map((content, index) => {
    const column = run.map((chorus) => chorus[index] ?? content);
    return measureOf(content, {
      cues: mergedCues(column, numbers, all),
      directions: mergedDirections(column, numbers, all),
      events: sharedEvents(column) ?? content.events,
    });
  });
}

function measureOf(
  content: BarContent,
  words: Pick<PartMeasure, 'cues' | 'directions' | 'events'>,
): PartMeasure {
  const { bar } = content;
  return {
    index: bar.index,
    number: bar.number,
    meter: bar.meter,
    length: bar.length,
    rehearsal: bar.startsSection && bar.label !== '' ? bar.label : null,
    carriedBand: content.band.carried,
    carriedSolo: content.solo?.carried ?? null,
    band: content.band.chords,
    solo: content.solo?.chords ?? null,
    scales: content.scales,
    voicings: content.voicings,
    repeatStart: false,
    repeatEnd: 0,
    endings: [],
    endingStart: false,
    endingStop: false,
    barline: 'single',
    ...words,
  };
}

/** Groups equal things of a column of bars with the choruses that have them; null when all have them. */
function byChorus<T>(
  column: readonly (readonly T[])[],
  numbers: readonly number[],
  all: readonly number[],
): readonly { readonly thing: T; readonly choruses: readonly number[] | null }[] {
  const groups = new Map<string, { thing: T; choruses: number[] }>();
  column.forEach((things, index) => {
    for (const thing of things) {
      const key = JSON.stringify(thing);
      const group = groups.get(key) ?? { thing, choruses: [] };
      const number = numbers[index] ?? 0;
      // Two rewrites that meet in a bar may ask for the same thing: it is said once.
      if (group.choruses.at(-1) !== number) group.choruses.push(number);
      groups.set(key, group);
    }
  });
  return [...groups.values()].map(({ thing, choruses }) => ({
    thing,
    choruses: choruses.length === all.length ? null : choruses,
  }));
}

function mergedCues(
  column: readonly BarContent[],
  numbers: readonly number[],
  all: readonly number[],
): readonly PartCue[] {
  return byChorus(
    column.map((bar) => bar.cues),
    numbers,
    all,
  ).map(({ thing, choruses }) => ({ ...thing, choruses }));
}

function mergedDirections(
  column: readonly BarContent[],
  numbers: readonly number[],
  all: readonly number[],
): readonly PartDirection[] {
  const begun = column.map((bar) =>
    bar.directions.filter(({ begins }) => begins).map(({ at, words }) => ({ at, words })),
  );
  return byChorus(begun, numbers, all).map(({ thing, choruses }) => ({ ...thing, choruses }));
}

/** What the bar looks like under an instruction that every chorus has here; null where there is none. */
function sharedEvents(column: readonly BarContent[]): readonly PartEvent[] | null {
  const looks = column.map(
    (bar) => bar.directions.find((direction) => direction.events)?.events ?? null,
  );
  const first = looks[0] ?? null;
  const shared = first && looks.every((look) => JSON.stringify(look) === JSON.stringify(first));
  return shared ? first : null;
}

/** The shared bars, then each ending under its numbers. */
function withEndings(run: Bars, numbers: readonly number[], tail: number): PartMeasure[] {
  const form = run[0] ?? [];
  const shared = form.length - tail;
  const body = mergedMeasures(
    run.map((chorus) => chorus.slice(0, shared)),
    numbers,
    numbers,
  );
  const keys = run.map((chorus) => chorus.map((bar) => bar.key));
  const groups = endingGroups(keys, tail);
  const endings = groups.flatMap((passes, group) => {
    const own = passes.map((pass) => (run[pass - 1] ?? []).slice(shared));
    const ownNumbers = passes.map((pass) => numbers[pass - 1] ?? 0);
    return markEnding(mergedMeasures(own, ownNumbers, ownNumbers), passes, {
      again: group < groups.length - 1,
      times: run.length,
    });
  });
  return [...body, ...endings].map((measure, index) => ({ ...measure, repeatStart: index === 0 }));
}

/** The printed form of a block with strips: the first chorus, with the cues of every bar that is as printed. */
function mergedStripForm(run: Bars, numbers: readonly number[]): PartMeasure[] {
  const form = run[0] ?? [];
  return form.map((content, index) => {
    const alike = run
      .map((chorus, at) => ({ bar: chorus[index] ?? content, number: numbers[at] ?? 0 }))
      .filter(({ bar }) => bar.key === content.key);
    const column = alike.map(({ bar }) => bar);
    const own = alike.map(({ number }) => number);
    return measureOf(content, {
      cues: mergedCues(column, own, numbers),
      directions: mergedDirections(column, own, numbers),
      events: (column.length === run.length ? sharedEvents(column) : null) ?? content.events,
    });
  });
}

/** Words over the bars that other choruses find in a strip, so that no one plays past them. */
function pointingAt(
  strips: readonly PartStrip[],
  measures: readonly PartMeasure[],
): readonly PartMeasure[] {
  return measures.map((measure, index) => {
    const here = strips.filter((strip) => strip.from === index);
    const directions = here.map(({ choruses }) => ({ at: 0, words: 'see below', choruses }));
    return { ...measure, directions: [...measure.directions, ...directions] };
  });
}

function stripsOf(run: Bars, numbers: readonly number[]): readonly PartStrip[] {
  const form = run[0] ?? [];
  const formKeys = form.map((bar) => bar.key);
  const strips = new Map<
    string,
    { from: number; bars: (readonly BarContent[])[]; choruses: number[] }
  >();
  run.forEach((chorus, at) => {
    const keys = chorus.map((bar) => bar.key);
    for (const { from, count } of differences(formKeys, keys)) {
      const bars = chorus.slice(from, from + count);
      const key = `${from} ${bars.map((bar) => bar.key).join(' ')}`;
      const strip = strips.get(key) ?? { from, bars: [], choruses: [] };
      strip.bars.push(bars);
      strip.choruses.push(numbers[at] ?? 0);
      strips.set(key, strip);
    }
  });
  return [...strips.values()].map(({ from, bars, choruses }) => ({
    choruses,
    from,
    measures: closed(
      mergedMeasures(bars, choruses, choruses).map((measure) => ({ ...measure, rehearsal: null })),
      'final',
    ),
  }));
}

function closed(
  measures: readonly PartMeasure[],
  barline: PartMeasure['barline'],
): readonly PartMeasure[] {
  return measures.map((measure, index) =>
    index === measures.length - 1 ? { ...measure, barline } : measure,
  );
}

/** Double bars where sections end, and the block's own last bar line. */
function closeBlock(block: PartBlock, barline: PartMeasure['barline']): PartBlock {
  const measures = block.measures.map((measure, index) => {
    const next = block.measures[index + 1];
    if (!next) return { ...measure, barline };
    return next.rehearsal !== null ? { ...measure, barline: 'double' as const } : measure;
  });
  return { ...block, measures };
}

function writeJump(
  bars: Bars,
  choruses: readonly ChorusPlan[],
  plan: ChartPlan,
  blocks: readonly PartBlock[],
): PartJump | null {
  const { jump } = plan;
  const chorus = bars.at(-1);
  const label = choruses.at(-1);
  const target = jump && blocks[jump.block];
  if (!jump || !chorus || !label || !target) return null;
  const number = choruses.length;
  const coda = chorus.slice(chorus.length - jump.coda);
  const measures = jump.coda > 0 ? mergedMeasures([coda], [number], [number]) : [];
  return {
    kind: jump.block === 0 ? 'D.C.' : 'D.S.',
    al: jump.coda > 0 ? 'coda' : 'fine',
    block: jump.block,
    chorus: number,
    heading: chorusLabel(label),
    bars: target.measures.length - jump.coda,
    coda: closed(measures, 'final'),
  };
}
