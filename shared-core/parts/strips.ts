import type { BarContent } from './content.ts';
import { measureOf, mergedCues, mergedDirections, mergedMeasures, sharedEvents } from './merged.ts';
import type { PartBlock, PartMeasure, PartStrip } from './model.ts';
import { stripPlans } from './plan-block.ts';
import { closed, repeated } from './sections.ts';

type Bars = readonly (readonly BarContent[])[];

/**
 * The first chorus' form with the strips of the others. Who leads the changes is said once, in the heading,
 * where they stand over the bars.
 */
export function withStrips(
  given: Bars,
  numbers: readonly number[],
  title: string,
): Pick<PartBlock, 'heading' | 'measures' | 'strips'> {
  const over = stripPlans(given).some(({ place }) => place === 'over');
  const leads = given.flat().flatMap((bar) => bar.directions.filter(({ lead }) => lead));
  const run = over ? given.map((chorus) => chorus.map(unled)) : given;
  const heading = [title, ...(over ? [...new Set(leads.map(({ words }) => words))] : [])];
  const strips = stripsOf(run, numbers);
  const measures = pointingAt(strips, mergedStripForm(run, numbers, strips));
  return { heading: heading.join(' · '), measures: repeated(measures, run.length), strips };
}

function unled(bar: BarContent): BarContent {
  return { ...bar, directions: bar.directions.filter(({ lead }) => !lead) };
}

/**
 * The printed form of a block with strips: the first chorus, with the cues of every bar that is as printed
 * or has its own changes over it.
 */
function mergedStripForm(
  run: Bars,
  numbers: readonly number[],
  strips: readonly PartStrip[],
): PartMeasure[] {
  const form = run[0] ?? [];
  return form.map((content, index) => {
    const alike = run
      .map((chorus, at) => ({ bar: chorus[index] ?? content, number: numbers[at] ?? 0 }))
      .filter(({ bar, number }) => bar.key === content.key || isOver(strips, number, index));
    const column = alike.map(({ bar }) => bar);
    const own = alike.map(({ number }) => number);
    return measureOf(content, {
      cues: mergedCues(column, own, numbers),
      directions: mergedDirections(column, own, numbers),
      events: (column.length === run.length ? sharedEvents(column) : null) ?? content.events,
    });
  });
}

function isOver(strips: readonly PartStrip[], chorus: number, bar: number): boolean {
  return strips.some(
    ({ place, choruses, from, measures }) =>
      place === 'over' && choruses.includes(chorus) && bar >= from && bar < from + measures.length,
  );
}

/** Words over the bars that other choruses find in a strip below, so that no one plays past them. */
function pointingAt(
  strips: readonly PartStrip[],
  measures: readonly PartMeasure[],
): readonly PartMeasure[] {
  return measures.map((measure, index) => {
    const here = strips.filter(({ place, from }) => place === 'below' && from === index);
    const directions = here.map(({ choruses }) => ({ at: 0, words: 'see below', choruses }));
    return { ...measure, directions: [...measure.directions, ...directions] };
  });
}

function stripsOf(run: Bars, numbers: readonly number[]): readonly PartStrip[] {
  return stripPlans(run).map(({ from, count, passes, place }) => {
    const choruses = passes.map((pass) => numbers[pass] ?? 0);
    const bars = passes.map((pass) => (run[pass] ?? []).slice(from, from + count));
    const measures = mergedMeasures(bars, choruses, choruses).map((measure) => ({
      ...measure,
      rehearsal: null,
    }));
    return { choruses, from, place, measures: closed(measures, 'final') };
  });
}
