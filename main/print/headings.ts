import type { Bar, SystemContext } from './bar-places.ts';
import { moved, type SetText, setText } from './fonts.ts';
import { WORDS } from './looks.ts';
import type { Face, Item } from './scene.ts';
import { headingOf, STRIP_LEGEND } from './wording.ts';

/** Words over a line, and how far up they reach. */
export interface SetHeadings {
  readonly items: readonly Item[];
  readonly top: number;
  readonly marks: readonly { readonly label: string; readonly y: number }[];
}

/**
 * The words over the first line of a block or coda, and over every strip; beside those of a block, or above
 * them where there is no room, how the changes of single choruses over its bars are to be read.
 *
 * @param under highest place of what stands below
 */
export function setHeadings(
  context: SystemContext,
  bars: readonly Bar[],
  under: number,
): SetHeadings | null {
  const { size } = context.sheet;
  const items: Item[] = [];
  const marks: { label: string; y: number }[] = [];
  const baseline = under - 5 * size;
  let top = baseline - WORDS.heading * size;
  for (const bar of bars) {
    const words = bar.printed.position === 0 ? headingOf(context.part, bar.printed) : null;
    if (words === null) continue;
    const { left } = bar.engraved;
    const face = bar.printed.place === 'cue' ? 'italic' : 'bold';
    const set = fitting(face, words, size, roomFrom(context, bars, left));
    items.push(...moved(set.items, left, baseline));
    marks.push({ label: words, y: top });
    if (!hasLegend(context, bar)) continue;
    const legend = setText('italic', WORDS.cue * size, STRIP_LEGEND);
    const x = left + set.width + 12 * size;
    const beside = legend.width <= roomFrom(context, bars, x);
    items.push(...moved(legend.items, beside ? x : left, beside ? baseline : top - 2 * size));
    if (!beside) top -= (WORDS.cue + 2) * size;
  }
  return marks.length === 0 ? null : { items, top, marks };
}

/** Width from a place to the end of the staff. */
function roomFrom({ sheet }: SystemContext, bars: readonly Bar[], x: number): number {
  const left = Math.min(...bars.map(({ engraved }) => engraved.left));
  return left + sheet.right - sheet.left - x;
}

/** Words made smaller where they are wider than their room. */
function fitting(face: Face, words: string, size: number, room: number): SetText {
  const usual = setText(face, WORDS.heading * size, words);
  if (usual.width <= room) return usual;
  return setText(face, (WORDS.heading * size * room) / usual.width, words);
}

function hasLegend({ part }: SystemContext, { printed }: Bar): boolean {
  const strips = part.blocks[printed.block]?.strips ?? [];
  return printed.place === 'block' && strips.some(({ place }) => place === 'over');
}
