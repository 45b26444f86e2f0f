import type { Part, PartBlock, PartMeasure } from '../parts/model.ts';
import { playBlock } from '../parts/unroll.ts';

/**
 * The part as another program can play it. Strips (bars that stand for others in one chorus) have no
 * counterpart in MusicXML, so a block that has them is written out chorus by chorus, and so are several
 * choruses of rest; repeats, endings,
 * the jump and the coda stay.
 */
export function exchangePart(part: Part): Part {
  const groups = part.blocks.map((block) => writtenOut(part, block));
  const { jump } = part;
  const before = groups.slice(0, jump?.block ?? 0).reduce((sum, group) => sum + group.length, 0);
  return { ...part, blocks: groups.flat(), jump: jump && { ...jump, block: before } };
}

function writtenOut(part: Part, block: PartBlock): readonly PartBlock[] {
  if (block.strips.length === 0 && !(block.rests && block.choruses.length > 1)) return [block];
  const played = playBlock(part, block);
  return block.choruses.map((chorus) => ({
    heading: `Chorus ${chorus}`,
    choruses: [chorus],
    strips: [],
    rests: block.rests,
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
