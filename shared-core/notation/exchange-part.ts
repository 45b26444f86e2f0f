import { NO_CHORD } from '../chord/build.ts';
import type { Part, PartBlock, PartMeasure } from '../parts/model.ts';
import { playBlock, playRepeats } from '../parts/unroll.ts';

/**
 * The part as another program can play it. Strips (bars that stand for others in one chorus) have no
 * counterpart in MusicXML, so a block that has them is written out chorus by chorus, and so are several
 * choruses of rest; repeats, endings, the jump and the coda stay, but a block that is gone back to has no
 * repeats inside, since programs do not agree whether they are taken again. Choruses that are only counted say N.C., and what rings over the bar line
 * after them is said again, so that no chord sounds on through the rest.
 */
export function exchangePart(part: Part): Part {
  const { jump } = part;
  const groups = part.blocks.map((block, index) => {
    const again = jump?.block === index && jump.repeats;
    return (again ? [unfolded(block)] : writtenOut(part, block)).map((each) =>
      saidAgain(each, part, index),
    );
  });
  const blocks = groups.flat().map(withoutCueBars);
  if (!jump) return { ...part, blocks, jump };
  const before = groups.slice(0, jump.block).reduce((sum, group) => sum + group.length, 0);
  const bars = jump.repeats ? (blocks[before]?.measures.length ?? 0) : jump.bars;
  return { ...part, blocks, jump: { ...jump, block: before, bars, repeats: false } };
}

/** Cue bars are printed and not played: another program would count them. Their words stay. */
function withoutCueBars(block: PartBlock): PartBlock {
  return block.cue ? { ...block, cue: { ...block.cue, measures: [] } } : block;
}

function unfolded(block: PartBlock): PartBlock {
  const played = playRepeats(block.measures);
  return { ...block, measures: played.map((bar, at) => plain(bar, at === played.length - 1)) };
}

/** The first bar of a block beside a rest: N.C. where the rest begins, the held chord where one has ended. */
function saidAgain(block: PartBlock, part: Part, index: number): PartBlock {
  const [first, ...others] = block.measures;
  if (!first) return block;
  const measures = (measure: PartMeasure): PartBlock => ({
    ...block,
    measures: [measure, ...others],
  });
  if (block.rests) return measures({ ...first, band: [{ at: 0, harmony: NO_CHORD }] });
  const comesFrom = part.jump?.block === index ? [index - 1, part.blocks.length - 1] : [index - 1];
  const held = first.carriedBand;
  const afterRest = comesFrom.some((before) => part.blocks[before]?.rests);
  if (!held || !afterRest || first.band[0]?.at === 0) return block;
  return measures({ ...first, band: [{ at: 0, harmony: held }, ...first.band] });
}

function writtenOut(part: Part, block: PartBlock): readonly PartBlock[] {
  if (block.strips.length === 0 && !(block.rests && block.choruses.length > 1)) return [block];
  const played = playBlock(part, block);
  return block.choruses.map((chorus) => ({
    heading: `Chorus ${chorus}`,
    choruses: [chorus],
    strips: [],
    rests: block.rests,
    cue: chorus === block.choruses.at(-1) ? block.cue : null,
    measures: played
      .filter((each) => each.chorus === chorus)
      .map(({ measure }, index, all) => plain(measure, index === all.length - 1)),
  }));
}

/** A bar without repeat signs; directions that point at a strip go with the strip. */
function plain(measure: PartMeasure, last: boolean): PartMeasure {
  return {
    ...measure,
    repeatStart: false,
    repeatEnd: 0,
    endings: [],
    endingStart: false,
    endingStop: false,
    barline: last ? 'double' : measure.barline === 'final' ? 'single' : measure.barline,
    directions: measure.directions.filter(({ words }) => words !== 'see below'),
  };
}
