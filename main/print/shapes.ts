import { readPath } from './path.ts';
import type { PathItem } from './scene.ts';

/** A stroked line. */
export function stroke(d: string, width: number): PathItem {
  return { kind: 'path', segments: readPath(d), fill: false, stroke: width };
}

/** A filled disc, or a ring of a line's width. */
export function disc(x: number, y: number, radius: number, ring = 0): PathItem {
  const [r, k] = [radius, radius * 0.5523];
  const d = [
    `M${x - r} ${y}`,
    `C${x - r} ${y - k} ${x - k} ${y - r} ${x} ${y - r}`,
    `C${x + k} ${y - r} ${x + r} ${y - k} ${x + r} ${y}`,
    `C${x + r} ${y + k} ${x + k} ${y + r} ${x} ${y + r}`,
    `C${x - k} ${y + r} ${x - r} ${y + k} ${x - r} ${y}Z`,
  ].join('');
  return { kind: 'path', segments: readPath(d), fill: ring === 0, stroke: ring };
}

/** The outline of a box. */
export function box(x: number, y: number, width: number, height: number, line: number): PathItem {
  return stroke(
    `M${x} ${y}L${x + width} ${y}L${x + width} ${y + height}L${x} ${y + height}Z`,
    line,
  );
}
