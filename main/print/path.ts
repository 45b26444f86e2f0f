/** SVG path data in absolute M, L, C, Z segments; the common ground of SVG and PDF. */
export type Segment =
  | { readonly op: 'M' | 'L'; readonly points: readonly [number, number] }
  | { readonly op: 'C'; readonly points: readonly [number, number, number, number, number, number] }
  | { readonly op: 'Z'; readonly points: readonly [] };

/** Numbers each command takes. */
const ARITY: Readonly<Record<string, number>> = {
  m: 2,
  l: 2,
  h: 1,
  v: 1,
  c: 6,
  s: 4,
  q: 4,
  t: 2,
  z: 0,
};

/**
 * Reads SVG path data: every command but the arc, absolute and relative, shorthand curves resolved,
 * quadratic curves raised to cubic. Throws for anything else.
 */
export function readPath(data: string): readonly Segment[] {
  const tokens = data.match(/[a-zA-Z]|[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?/gu) ?? [];
  const segments: Segment[] = [];
  const pen = { x: 0, y: 0, startX: 0, startY: 0, controlX: 0, controlY: 0, last: '' };
  let at = 0;
  let command = '';
  while (at < tokens.length) {
    const token = tokens[at] ?? '';
    if (/^[a-zA-Z]$/u.test(token)) {
      command = token;
      at++;
    }
    const arity = ARITY[command.toLowerCase()];
    if (arity === undefined) throw new Error(`Path command ${command} is not understood`);
    const numbers = tokens.slice(at, at + arity).map(Number);
    if (numbers.length < arity || numbers.some(Number.isNaN))
      throw new Error(`Path data ends inside ${command}`);
    at += arity;
    segments.push(step(command, numbers, pen));
    if (command === 'm') command = 'l';
    if (command === 'M') command = 'L';
    if (arity === 0 && at < tokens.length && !/^[a-zA-Z]$/u.test(tokens[at] ?? ''))
      throw new Error('Numbers after a closed path');
  }
  return segments;
}

interface Pen {
  x: number;
  y: number;
  startX: number;
  startY: number;
  controlX: number;
  controlY: number;
  last: string;
}

function step(command: string, numbers: readonly number[], pen: Pen): Segment {
  const lower = command.toLowerCase();
  const relative = command === lower;
  const n = (index: number): number => numbers[index] ?? 0;
  const x = (index: number): number => n(index) + (relative ? pen.x : 0);
  const y = (index: number): number => n(index) + (relative ? pen.y : 0);
  const last = pen.last;
  pen.last = lower;
  switch (lower) {
    case 'm':
      pen.startX = x(0);
      pen.startY = y(1);
      return line('M', x(0), y(1), pen);
    case 'l':
      return line('L', x(0), y(1), pen);
    case 'h':
      return line('L', x(0), pen.y, pen);
    case 'v':
      return line('L', pen.x, y(0), pen);
    case 'c':
      return curve([x(0), y(1), x(2), y(3), x(4), y(5)], pen);
    case 's': {
      const smooth = last === 'c' || last === 's';
      const cx = smooth ? 2 * pen.x - pen.controlX : pen.x;
      const cy = smooth ? 2 * pen.y - pen.controlY : pen.y;
      return curve([cx, cy, x(0), y(1), x(2), y(3)], pen);
    }
    case 'q':
      return quadratic(x(0), y(1), x(2), y(3), pen);
    case 't': {
      const smooth = last === 'q' || last === 't';
      const cx = smooth ? 2 * pen.x - pen.controlX : pen.x;
      const cy = smooth ? 2 * pen.y - pen.controlY : pen.y;
      return quadratic(cx, cy, x(0), y(1), pen);
    }
    default:
      pen.x = pen.startX;
      pen.y = pen.startY;
      return { op: 'Z', points: [] };
  }
}

function line(op: 'M' | 'L', x: number, y: number, pen: Pen): Segment {
  pen.x = x;
  pen.y = y;
  return { op, points: [x, y] };
}

function curve(points: [number, number, number, number, number, number], pen: Pen): Segment {
  [, , pen.controlX, pen.controlY, pen.x, pen.y] = points;
  return { op: 'C', points };
}

function quadratic(cx: number, cy: number, x: number, y: number, pen: Pen): Segment {
  const from = { x: pen.x, y: pen.y };
  const segment = curve(
    [
      from.x + ((cx - from.x) * 2) / 3,
      from.y + ((cy - from.y) * 2) / 3,
      x + ((cx - x) * 2) / 3,
      y + ((cy - y) * 2) / 3,
      x,
      y,
    ],
    pen,
  );
  pen.controlX = cx;
  pen.controlY = cy;
  return segment;
}

/** Maps every point: `x' = ax + e`, `y' = dy + f`. */
export function mapPath(
  segments: readonly Segment[],
  by: { readonly a: number; readonly d: number; readonly e: number; readonly f: number },
): readonly Segment[] {
  return segments.map((segment) => ({
    op: segment.op,
    points: segment.points.map((value, index) =>
      index % 2 === 0 ? value * by.a + by.e : value * by.d + by.f,
    ),
  })) as unknown as readonly Segment[];
}

/** Writes segments as SVG path data, to a hundredth of a unit. */
export function writePath(segments: readonly Segment[]): string {
  return segments.map(({ op, points }) => op + points.map(round).join(' ')).join('');
}

/** Writes segments as PDF path operators. */
export function pdfPath(segments: readonly Segment[]): string {
  const operator = { M: 'm', L: 'l', C: 'c', Z: 'h' } as const;
  return segments.map(({ op, points }) => [...points.map(round), operator[op]].join(' ')).join(' ');
}

/** Least and greatest coordinates of the points (control points included). */
export function boundsOf(segments: readonly Segment[]): {
  minX: number;
  minY: number;
  maxX: number;
  maxY: number;
} {
  const bounds = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
  for (const { points } of segments) {
    points.forEach((value, index) => {
      if (index % 2 === 0) {
        bounds.minX = Math.min(bounds.minX, value);
        bounds.maxX = Math.max(bounds.maxX, value);
      } else {
        bounds.minY = Math.min(bounds.minY, value);
        bounds.maxY = Math.max(bounds.maxY, value);
      }
    });
  }
  return bounds;
}

/** A number to two decimals without trailing zeros. */
export function round(value: number): number {
  return Math.round(value * 100) / 100 + 0;
}
