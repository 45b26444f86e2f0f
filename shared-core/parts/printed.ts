import type { Part, PartMeasure } from './model.ts';

/** Where a printed bar stands on the chart. */
export interface PrintedMeasure {
  readonly measure: PartMeasure;
  readonly place: 'block' | 'strip' | 'cue' | 'coda';
  /** Index of the block it belongs to; for the coda, of the block jumped to. */
  readonly block: number;
  /** Index of the strip within its block; -1 elsewhere. */
  readonly strip: number;
  /** Bar of its block, strip, cue or coda, 0-based. */
  readonly position: number;
  /** Bars of its block, strip, cue or coda. */
  readonly of: number;
}

/** Every bar of the chart in the order it is printed: each block, its strips below it, the
 * cue after a rest, at the end the coda. */
export function printedMeasures(part: Part): readonly PrintedMeasure[] {
  const run = (
    measures: readonly PartMeasure[],
    place: PrintedMeasure['place'],
    block: number,
    strip = -1,
  ): PrintedMeasure[] =>
    measures.map((measure, position) => ({
      measure,
      place,
      block,
      strip,
      position,
      of: measures.length,
    }));
  const blocks = part.blocks.flatMap((block, index) => [
    ...run(block.measures, 'block', index),
    ...block.strips.flatMap((strip, at) =>
      strip.place === 'below' ? run(strip.measures, 'strip', index, at) : [],
    ),
    ...run(block.cue?.measures ?? [], 'cue', index),
  ]);
  const coda = part.jump ? run(part.jump.coda, 'coda', part.jump.block) : [];
  return [...blocks, ...coda];
}
