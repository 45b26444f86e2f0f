/**
 * The tension of a stretch as a thin line over its bars: level 0 rests on the slip, 1 is as far from home
 * as it goes. Each change holds its level; between two the line leans over like a drawn one.
 */
export function Contour({
  points,
  width,
  height,
}: {
  readonly points: readonly { readonly x: number; readonly level: number }[];
  readonly width: number;
  readonly height: number;
}) {
  if (points.length === 0 || width <= 0) return null;
  const y = (level: number) => height - 1 - Math.min(1, Math.max(0, level)) * (height - 2);
  const lean = 6;
  const path = points
    .map(({ x, level }, index) => {
      const end = points[index + 1]?.x ?? width;
      const up = y(level).toFixed(1);
      if (index === 0) return `M0 ${up}H${Math.max(0, end - lean)}`;
      return `L${Math.min(x + lean, end)} ${up}H${Math.max(x + lean, end - lean)}`;
    })
    .join('');
  return (
    <svg className="contour" width={width} height={height} aria-hidden="true">
      <path d={path} />
    </svg>
  );
}
