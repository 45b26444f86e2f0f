import { moved, setText } from './fonts.ts';
import type { Item } from './scene.ts';
import { disc, stroke } from './shapes.ts';

/** Measures of a fret diagram in points at normal size. */
export const DIAGRAM = {
  /** Grid width for six strings, height with its marks, room for the fret number at its side. */
  width: 25,
  height: 42,
  label: 11,
  fret: 7.4,
  marks: 8,
} as const;

/** Frets a diagram shows. */
const ROWS = 4;

/**
 * A guitar shape as a small grid: strings upright in the order given, dots where fingers go, rings
 * for open strings, crosses for strings not played, and the number of the first fret at the right when
 * the shape lies above the nut.
 *
 * @param frets from the string at the left to that at the right: the lowest string first, or last for a
 *   left-handed player; absolute, 0 open, null not played
 * @param left left string
 * @param bottom lowest line of the grid
 */
export function fretDiagram(
  frets: readonly (number | null)[],
  left: number,
  bottom: number,
  size: number,
): readonly Item[] {
  const fretted = frets.filter((fret): fret is number => fret !== null && fret > 0);
  const highest = Math.max(0, ...fretted);
  const first = highest <= ROWS ? 1 : Math.min(...fretted);
  const rows = Math.max(ROWS, highest - first + 1);
  const width = DIAGRAM.width * size;
  const height = ROWS * DIAGRAM.fret * size;
  const [step, row] = [width / (frets.length - 1), height / rows];
  const top = bottom - height;
  const items: Item[] = frets.map((_, string) =>
    stroke(`M${left + string * step} ${top}L${left + string * step} ${bottom}`, 0.6 * size),
  );
  for (let line = 0; line <= rows; line++) {
    const y = top + line * row;
    const nut = line === 0 && first === 1;
    items.push(stroke(`M${left} ${y}L${left + width} ${y}`, (nut ? 2 : 0.6) * size));
  }
  frets.forEach((fret, string) => {
    const x = left + string * step;
    if (fret !== null && fret > 0)
      items.push(disc(x, top + (fret - first + 0.5) * row, 2.2 * size));
    else items.push(...markAbove(fret, x, top - 4 * size, size));
  });
  if (first > 1) {
    const label = setText('semibold', 8.5 * size, String(first));
    items.push(...moved(label.items, left + width + 4 * size, top + row * 0.5 + 3 * size));
  }
  return items;
}

/** A ring over an open string, a cross over one not played. */
function markAbove(fret: number | null, x: number, y: number, size: number): readonly Item[] {
  const r = 1.7 * size;
  if (fret === 0) return [disc(x, y, r, 0.7 * size)];
  return [
    stroke(`M${x - r} ${y - r}L${x + r} ${y + r}`, 0.7 * size),
    stroke(`M${x - r} ${y + r}L${x + r} ${y - r}`, 0.7 * size),
  ];
}
