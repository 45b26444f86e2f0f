import type { StaticSpan } from '../../shared-core/analysis/model.ts';
import { TICKS_PER_QUARTER, type Ticks } from '../../shared-core/time/meter.ts';
import type { Chorus, FormBar } from '../../shared-core/tune/model.ts';
import type { LadderFit } from './fit.ts';

/** Narrowest and widest a quarter note may be on the ruler, px. */
export const QUARTER_LIMITS = { least: 18, most: 72 } as const;

/** Turns musical time into place: one ruler for the written changes and every rung under them. */
export interface Ruler {
  /** Px of one quarter note. */
  readonly quarter: number;
  /** Px of the whole chorus. */
  readonly width: number;
  /** How much larger than usual type is set along it. */
  readonly type: number;
  /** Height of one chorus, px of a usual screen. */
  readonly rung: number;
  /** Height of a tension contour, px. */
  readonly contour: number;
  /** Place of a tick, whole px. */
  x(at: Ticks): number;
}

/**
 * A ruler for a chorus of `length` ticks on a screen `scale` times the usual one. Throws on a width that is
 * not positive.
 */
export function rulerOf(length: Ticks, fit: LadderFit, scale: number): Ruler {
  const quarter = fit.quarter * scale;
  if (!(quarter > 0)) throw new Error(`A quarter note cannot be ${quarter} px wide`);
  const x = (at: Ticks) => Math.round((at * quarter) / TICKS_PER_QUARTER);
  return {
    quarter,
    width: x(length),
    type: fit.type,
    rung: fit.rung,
    contour: Math.round(fit.contour * scale),
    x,
  };
}

/** A stretch of the ruler that is one cell of the grid: a static span, or the plain bars between two. */
export interface Segment {
  readonly id: string;
  readonly start: Ticks;
  /** Clipped to the chorus: a span that runs over the form's end is drawn up to the end. */
  readonly length: Ticks;
  readonly span: StaticSpan | null;
  readonly firstBar: FormBar;
  readonly lastBar: FormBar;
}

/**
 * Cuts a chorus into cells: every static span is one; what lies between is one cell a section. Covers
 * [0, length) without gap or overlap; of two spans that claim the same time the longer one is shown.
 */
export function segmentsOf(chorus: Chorus, spans: readonly StaticSpan[]): readonly Segment[] {
  const segments: Segment[] = [];
  let at = 0;
  for (const span of apart(spans)) {
    pushPlain(segments, chorus, at, span.start);
    const end = Math.min(span.start + span.length, chorus.length);
    pushSegment(segments, chorus, span.start, end, span);
    at = end;
  }
  pushPlain(segments, chorus, at, chorus.length);
  return segments;
}

/** Spans in order of time, without overlaps. */
function apart(spans: readonly StaticSpan[]): readonly StaticSpan[] {
  const chosen: StaticSpan[] = [];
  for (const span of [...spans].sort((a, b) => b.length - a.length || a.start - b.start)) {
    const free = chosen.every(
      (other) =>
        span.start >= other.start + other.length || other.start >= span.start + span.length,
    );
    if (free) chosen.push(span);
  }
  return chosen.sort((a, b) => a.start - b.start);
}

function pushPlain(segments: Segment[], chorus: Chorus, from: Ticks, to: Ticks): void {
  let at = from;
  for (const bar of chorus.bars) {
    if (bar.startsSection && bar.start > at && bar.start < to) {
      pushSegment(segments, chorus, at, bar.start, null);
      at = bar.start;
    }
  }
  if (at < to) pushSegment(segments, chorus, at, to, null);
}

function pushSegment(
  segments: Segment[],
  chorus: Chorus,
  start: Ticks,
  end: Ticks,
  span: StaticSpan | null,
): void {
  const firstBar = barAt(chorus, start);
  const lastBar = barAt(chorus, end - 1);
  if (!firstBar || !lastBar) return;
  const id = span ? span.id : `plain-${start}`;
  segments.push({ id, start, length: end - start, span, firstBar, lastBar });
}

/** The bar a tick falls in; null outside the chorus. */
export function barAt(chorus: Chorus, at: Ticks): FormBar | null {
  return chorus.bars.find((bar) => at >= bar.start && at < bar.start + bar.length) ?? null;
}

/** `bar 7`, `bars 7–8`, `bars 31–2` for a stretch that runs over the form's end into its top. */
export function barsWords(chorus: Chorus, start: Ticks, length: Ticks): string {
  const first = barAt(chorus, start);
  const last = barAt(chorus, (start + length - 1) % chorus.length);
  if (!first || !last) return '';
  if (first.number === last.number) return `bar ${first.number}`;
  return `bars ${first.number}–${last.number}`;
}
