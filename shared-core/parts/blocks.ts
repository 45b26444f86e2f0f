import type { ChorusPlan } from '../arrangement/model.ts';
import type { BarContent } from './content.ts';
import { dynamicsOf } from './dynamics.ts';
import { entranceCue } from './entrance-cue.ts';
import { mergedMeasures } from './merged.ts';
import type { PartBlock, PartJump, PartMeasure, PartStrip } from './model.ts';
import type { ChartPlan } from './plan.ts';
import { type BlockPlan, endingGroups } from './plan-block.ts';
import { blockHeading, chorusLabel } from './road.ts';
import { closed, foldSections, markEnding, repeated } from './sections.ts';
import { withStrips } from './strips.ts';

type Bars = readonly (readonly BarContent[])[];

/** Writes the bars a plan asks for. */
export function writeBlocks(
  bars: Bars,
  choruses: readonly ChorusPlan[],
  plan: ChartPlan,
  foldInside: boolean,
): { readonly blocks: readonly PartBlock[]; readonly jump: PartJump | null } {
  const blocks = plan.blocks.map((block, index) => {
    // A player on the way to a coda does not take repeats.
    const leaves = plan.jump?.block === index && plan.jump.coda > 0;
    const written = writeBlock(bars, choruses, block, foldInside && !leaves);
    const last = index === plan.blocks.length - 1;
    return closeBlock(written, last && !plan.jump ? 'final' : 'double');
  });
  const jump = plan.jump ? writeJump(bars, choruses, plan, blocks) : null;
  const cued = blocks.map((block, at) => {
    const next = plan.blocks[at + 1]?.form ?? (jump ? 'once' : 'rests');
    return block.rests && next !== 'rests'
      ? { ...block, cue: entranceCue(bars, choruses, block) }
      : block;
  });
  return { blocks: jump ? cued.map((block, at) => announced(block, at, jump)) : cued, jump };
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
  const loud = dynamicsOf(choruses).slice(plan.from, plan.to + 1);
  const heading = blockHeading(
    choruses.slice(plan.from, plan.to + 1),
    choruses.length,
    plan.form === 'rests' ? [] : loud,
  );
  const strips: readonly PartStrip[] = [];
  const base = { heading, choruses: numbers, strips, rests: plan.form === 'rests', cue: null };
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
      return { ...base, ...withStrips(run, numbers, heading) };
    }
  }
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
  const loud = dynamicsOf(choruses).at(-1);
  const measures = jump.coda > 0 ? mergedMeasures([coda], [number], [number]) : [];
  return {
    kind: jump.block === 0 ? 'D.C.' : 'D.S.',
    al: jump.coda > 0 ? 'coda' : 'fine',
    block: jump.block,
    chorus: number,
    heading: chorusLabel(label) + (loud ? ` · ${loud}` : ''),
    bars: target.measures.length - jump.coda,
    repeats: target.choruses.length === 1 && target.measures.some(({ repeatEnd }) => repeatEnd > 0),
    coda: closed(measures, 'final'),
  };
}
