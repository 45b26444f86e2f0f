/** How a time grows with the number of bars: the figure and its picture. */
export interface GrowthPoint {
  readonly bars: number;
  /** Milliseconds. */
  readonly time: number;
}

/**
 * Time a bar at the largest size against time a bar at the smallest: 1 is linear, under 1 better.
 *
 * @throws RangeError with fewer than two points
 */
export function growthAgainstLinear(points: readonly GrowthPoint[]): number {
  const inOrder = [...points].sort((a, b) => a.bars - b.bars);
  const first = inOrder[0];
  const last = inOrder.at(-1);
  if (!first || !last || first === last) throw new RangeError('Growth needs two sizes at least');
  return last.time / last.bars / (first.time / first.bars);
}

const WIDTH = 640;
const HEIGHT = 400;
const EDGE = 60;

/** A double-logarithmic plot as SVG: measured points, and the dashed line of linear growth from the first. */
export function growthPlot(points: readonly GrowthPoint[], title: string): string {
  const inOrder = [...points].sort((a, b) => a.bars - b.bars);
  const first = inOrder[0];
  const last = inOrder.at(-1);
  if (!first || !last) throw new RangeError('A plot needs points');
  const linear = (first.time / first.bars) * last.bars;
  const x = axis(first.bars, last.bars, EDGE, WIDTH - EDGE);
  const y = axis(first.time, Math.max(last.time, linear), HEIGHT - EDGE, EDGE);
  const path = inOrder.map(({ bars, time }) => `${x(bars)},${y(time)}`).join(' ');
  const dots = inOrder.map(
    ({ bars, time }) =>
      `<circle cx="${x(bars)}" cy="${y(time)}" r="4"/><text x="${x(bars)}" y="${HEIGHT - EDGE + 24}" text-anchor="middle">${bars}</text><text x="${x(bars)}" y="${y(time) - 12}" text-anchor="middle">${time.toFixed(1)} ms</text>`,
  );
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}" font-family="sans-serif" font-size="13">
<rect width="100%" height="100%" fill="white"/>
<text x="${WIDTH / 2}" y="28" text-anchor="middle" font-size="16">${title}</text>
<line x1="${x(first.bars)}" y1="${y(first.time)}" x2="${x(last.bars)}" y2="${y(linear)}" stroke="grey" stroke-dasharray="6 4"/>
<polyline points="${path}" fill="none" stroke="black" stroke-width="2"/>
${dots.join('\n')}
<text x="${WIDTH / 2}" y="${HEIGHT - 12}" text-anchor="middle">bars (dashed: linear)</text>
</svg>
`;
}

function axis(from: number, to: number, low: number, high: number): (value: number) => number {
  const span = Math.log(to) - Math.log(from);
  return (value) =>
    Math.round(low + ((Math.log(value) - Math.log(from)) / (span || 1)) * (high - low));
}
