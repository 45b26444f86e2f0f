import type { EntranceCue, Part } from '../../shared-core/parts/model.ts';
import { jumpWords } from '../../shared-core/parts/road.ts';
import { type SetChord, setChord } from './chord-symbol.ts';
import { moved, setText } from './fonts.ts';
import { LOOKS, scaledLook, WORDS } from './looks.ts';
import type { Sheet } from './options.ts';
import { groupAt, wordsAt } from './place.ts';
import type { Item } from './scene.ts';
import { stroke } from './shapes.ts';
import type { SetSystem } from './system.ts';

/** Sizes of a rest and its words, in points at normal size. */
const REST = { height: 22, serif: 13, bar: 5.5, gap: 7, width: 44, apart: 20 } as const;

/** One block of rest, set from x 0. */
interface SetRest {
  readonly heading: string;
  readonly width: number;
  readonly draw: (x: number) => readonly Item[];
}

/**
 * The lines that stand for choruses of others: the words of each, and a rest of so many bars drawn as a
 * copyist draws it (a thick bar between two uprights, the count beside it), side by side while there is
 * room. No staff is needed for counting.
 *
 * @param blocks indices of blocks that follow each other, all of them rests
 * @param ordinal of the printed bar that comes after them
 */
export function setRestLines(
  part: Part,
  blocks: readonly number[],
  sheet: Sheet,
  ordinal: number,
): readonly SetSystem[] {
  const leaves = leavingWords(part, blocks.at(-1));
  const { size, left, right } = sheet;
  const reserved = leaves ? setText('bold', WORDS.sign * size, leaves).width + REST.gap * size : 0;
  const lines: SetRest[][] = [];
  for (const block of blocks) {
    const rest = setRest(part, block, sheet);
    const line = lines.at(-1);
    const used = line?.reduce((sum, each) => sum + each.width + REST.apart * size, 0) ?? 0;
    if (line && used + rest.width + reserved <= right - left) line.push(rest);
    else lines.push([rest]);
  }
  return lines.map((line, index) => {
    const sign = index === lines.length - 1 ? leaves : null;
    return restSystem(line, sheet, ordinal, sign);
  });
}

function restSystem(
  line: readonly SetRest[],
  { size, left, right }: Sheet,
  ordinal: number,
  leaves: string | null,
): SetSystem {
  const items: Item[] = [];
  let x = left;
  for (const rest of line) {
    items.push(...rest.draw(x));
    x += rest.width + REST.apart * size;
  }
  if (leaves) {
    const baseline = REST.height * size * 0.68;
    items.push(...wordsAt('bold', WORDS.sign * size, leaves, right, baseline, 'right'));
  }
  return {
    items,
    height: REST.height * size,
    tail: 0,
    corner: true,
    first: ordinal,
    opens: { block: true, section: true, phrase: true },
    marks: line.map(({ heading }) => ({ label: heading, y: 0 })),
  };
}

function setRest(part: Part, index: number, sheet: Sheet): SetRest {
  const { size } = sheet;
  const block = part.blocks[index];
  if (!block) throw new Error(`The chart has no block ${index}`);
  const { heading, measures, choruses } = block;
  const bars = measures.filter((measure) => measure.number > 0).length * choruses.length;
  const words = setText('bold', WORDS.heading * size, heading);
  const count = setText('semibold', WORDS.heading * size, `${bars} bars`);
  const from = words.width + REST.gap * size;
  const to = from + REST.width * size;
  const after = to + REST.gap * size;
  const room = sheet.right - sheet.left - after - count.width - REST.gap * size;
  const cue = block.cue?.measures.length === 0 ? fittingCue(block.cue, sheet, room) : null;
  const baseline = REST.height * size * 0.68;
  const middle = baseline - WORDS.heading * size * 0.34;
  const [top, bottom] = [middle - (REST.serif * size) / 2, middle + (REST.serif * size) / 2];
  return {
    heading,
    width: after + count.width + (cue ? REST.gap * size + cue.width : 0),
    draw: (x) => [
      ...moved(words.items, x, baseline),
      stroke(
        `M${x + from} ${top}L${x + from} ${bottom}M${x + to} ${top}L${x + to} ${bottom}`,
        1.1 * size,
      ),
      stroke(`M${x + from} ${middle}L${x + to} ${middle}`, REST.bar * size),
      ...moved(count.items, x + after, baseline),
      ...(cue?.draw(x + after + count.width + REST.gap * size, baseline) ?? []),
    ],
  };
}

/** The cue with as many of its last bars as there is room for; null for none. */
function fittingCue(cue: EntranceCue, sheet: Sheet, room: number): SetCue | null {
  for (let first = 0; first < cue.bars.length; first++) {
    const set = setCue({ ...cue, bars: cue.bars.slice(first) }, sheet);
    if (set.width <= room) return set;
  }
  return null;
}

/** A cue set from x 0. */
interface SetCue {
  readonly width: number;
  readonly draw: (x: number, baseline: number) => readonly Item[];
}

/**
 * What is heard before coming in, where no melody is: the changes of the last bars between bar lines. The heading of the rest has
 * said whose solo it is that ends.
 */
function setCue({ bars }: EntranceCue, { size, style }: Sheet): SetCue {
  const said = setText('italic', WORDS.cue * size, 'ends on');
  const look = scaledLook(LOOKS.cue, size);
  const chords: { set: SetChord; x: number }[] = [];
  const lines: number[] = [];
  let pen = said.width + 8 * size;
  for (const bar of bars) {
    lines.push(pen);
    pen += 5 * size;
    for (const { harmony } of bar) {
      const set = setChord(harmony, style, look);
      chords.push({ set, x: pen });
      pen += set.width + 6 * size;
    }
  }
  if (bars.length > 0) lines.push(pen);
  return {
    width: pen,
    draw: (x, baseline) => [
      ...moved(said.items, x, baseline),
      ...chords.map(({ set, x: at }) => groupAt(set, x + at, baseline)),
      ...lines.map((at) => barLine(x + at, baseline, size)),
    ],
  };
}

function barLine(x: number, baseline: number, size: number): Item {
  return stroke(`M${x} ${baseline - 10 * size}L${x} ${baseline + 2.5 * size}`, 0.7 * size);
}

/** The jump, where the last line of the chart is such a rest. */
function leavingWords({ jump, blocks }: Part, block: number | undefined): string | null {
  if (!jump || block !== blocks.length - 1) return null;
  return jumpWords(jump);
}
