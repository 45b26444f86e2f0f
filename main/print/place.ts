import type { SetChord } from './chord-symbol.ts';
import { moved, setText } from './fonts.ts';
import { mapPath } from './path.ts';
import type { Face, GroupItem, Item, TextItem } from './scene.ts';

/** Moves any item. */
export function moveItem(item: Item, dx: number, dy: number): Item {
  switch (item.kind) {
    case 'path':
      return {
        ...item,
        segments: mapPath(item.segments, { a: 1, d: 1, e: dx, f: dy }),
      };
    case 'group':
      return { ...item, items: item.items.map((inner) => moveItem(inner, dx, dy) as TextItem) };
    default:
      return { ...item, x: item.x + dx, y: item.y + dy };
  }
}

/** Words at a place, left, centred or right of it. */
export function wordsAt(
  face: Face,
  size: number,
  text: string,
  x: number,
  y: number,
  align: 'left' | 'centre' | 'right' = 'left',
): readonly TextItem[] {
  const set = setText(face, size, text);
  const shift = align === 'left' ? 0 : align === 'centre' ? set.width / 2 : set.width;
  return moved(set.items, x - shift, y);
}

/** A chord symbol at a place. */
export function groupAt(set: SetChord, x: number, y: number): GroupItem {
  return { kind: 'group', label: set.label, items: moved(set.items, x, y) };
}

/** A stretch along a line. */
export interface Extent {
  readonly from: number;
  readonly to: number;
}

/**
 * Words on one line with a gap between each two: those too near to the one before give way to the right.
 * A chord symbol a little after its beat is read with it all the same; two that touch are not read at all.
 *
 * @param extents from left to right
 */
export function apart(extents: readonly Extent[], gap: number): readonly Extent[] {
  let free = Number.NEGATIVE_INFINITY;
  return extents.map(({ from, to }) => {
    const start = Math.max(from, free);
    free = start + (to - from) + gap;
    return { from: start, to: start + (to - from) };
  });
}
