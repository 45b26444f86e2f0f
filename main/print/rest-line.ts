import type { Part } from '../../shared-core/parts/model.ts';
import { moved, setText } from './fonts.ts';
import { WORDS } from './looks.ts';
import type { Sheet } from './options.ts';
import { wordsAt } from './place.ts';
import type { Item } from './scene.ts';
import { stroke } from './shapes.ts';
import type { SetSystem } from './system.ts';

/** Sizes of the rest drawn over the line, in points at normal size. */
const REST = { height: 22, serif: 13, bar: 5.5, gap: 12, least: 60, most: 150 } as const;

/**
 * The line that stands for choruses of others: its words, and a rest of so many bars drawn as a copyist
 * draws it (a thick bar between two uprights, the count beside it). No staff is needed for counting.
 *
 * @param ordinal of the printed bar that comes after it
 */
export function setRestLine(part: Part, block: number, sheet: Sheet, ordinal: number): SetSystem {
  const { size, left, right } = sheet;
  const { heading, measures, choruses } = part.blocks[block] ?? missing(block);
  const bars = measures.filter((measure) => measure.number > 0).length * choruses.length;
  const words = setText('bold', WORDS.heading * size, heading);
  const count = setText('semibold', WORDS.sign * size, `${bars} bars`);
  const leaves = leavingWords(part, block);
  const jump = leaves === null ? 0 : setText('bold', WORDS.sign * size, leaves).width;
  const baseline = REST.height * size * 0.68;
  const middle = baseline - WORDS.heading * size * 0.34;
  const from = left + words.width + REST.gap * size;
  const room = right - from - (count.width + jump + REST.gap * 2 * size);
  const to = from + Math.max(REST.least * size, Math.min(REST.most * size, room));
  const [top, bottom] = [middle - (REST.serif * size) / 2, middle + (REST.serif * size) / 2];
  const items: Item[] = [
    ...moved(words.items, left, baseline),
    stroke(`M${from} ${top}L${from} ${bottom}M${to} ${top}L${to} ${bottom}`, 1.1 * size),
    stroke(`M${from} ${middle}L${to} ${middle}`, REST.bar * size),
    ...moved(count.items, to + 6 * size, baseline),
    ...(leaves === null
      ? []
      : wordsAt('bold', WORDS.sign * size, leaves, right, baseline, 'right')),
  ];
  return {
    items,
    height: REST.height * size,
    first: ordinal,
    opens: { block: true, section: true },
    marks: [{ label: heading, y: 0 }],
  };
}

/** The jump, where the last line of the chart is such a rest. */
function leavingWords({ jump, blocks }: Part, block: number): string | null {
  if (!jump || block !== blocks.length - 1) return null;
  return `${jump.kind} al ${jump.al === 'coda' ? 'Coda' : 'Fine'}`;
}

function missing(block: number): never {
  throw new Error(`The chart has no block ${block}`);
}
