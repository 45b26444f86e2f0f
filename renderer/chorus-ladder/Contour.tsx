/** Height of the tension contour over a slip, px. */
const HEIGHT = 12;

/**
 * The tension of a stretch as a thin line over its bars: level 0 rests on the slip, 1 is as far from home
 * as it goes. Each change holds its level; between two the line leans over like a drawn one.
 */
export function Contour({
  points,
  width,
}: {
  readonly points: readonly { readonly x: number; readonly level: number }[];
  readonly width: number;
}) {
  if (points.length === 0 || width <= 0) return null;
  const y = (level: number) => HEIGHT - 1 - Math.min(1, Math.max(0, level)) * (HEIGHT - 2);
  const lean = 6;
  const path = points
    .map(({ x, level }, index) => {
      const end = points[index + 1]?.x ?? width;
      const height = y(level).toFixed(1);
      if (index === 0) return `M0 ${height}H${Math.max(0, end - lean)}`;
      return `L${Math.min(x + lean, end)} ${height}H${Math.max(x + lean, end - lean)}`;
    })
    .join('');
  return (
    <svg className="contour" width={width} height={HEIGHT} aria-hidden="true">
      <path d={path} />
    </svg>
  );
}
