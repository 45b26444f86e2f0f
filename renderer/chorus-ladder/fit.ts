import { TICKS_PER_QUARTER } from '../../shared-core/time/meter.ts';
import type { Chorus, TimedHarmony } from '../../shared-core/tune/model.ts';

/**
 * How large the ladder is drawn, in px of a usual screen. Made from the window and the tune alone: nothing
 * that is decided, said or played may move what stands on it.
 */
export interface LadderFit {
  /** Width of a quarter note. */
  readonly quarter: number;
  /** How much larger than usual the type on the ladder is set. */
  readonly type: number;
  /** Height of one chorus. */
  readonly rung: number;
  /** Height of the tension contour over a slip. */
  readonly contour: number;
}

/** Room for the ladder, px of a usual screen. */
export interface Room {
  readonly width: number;
  readonly height: number;
}

/** The usual heights: one chorus, the written changes over them, the strip under the last. */
const RUNG = 80;
const WRITTEN = 88;
const FOOT = 28;
const CONTOUR = 12;

/** Choruses that are to be seen at once; a ladder with more of them scrolls. */
const CHORUSES = 6;

/** How much the type and the height of a chorus may grow. */
const MOST_TYPE = 1.25;
const MOST_RUNG = 1.9;

/** Least width of the longest bar: two chords side by side can be read in it. */
const LEAST_BAR = 94;

/** How much wider than needed bars may be drawn so that whole phrases fill the window. */
const MOST_BAR = 1.5;

/** Bars of a phrase; as many as fit are seen whole. */
const PHRASE = 4;

/** Fits a ladder into its room. `widthOf` is the width a written symbol takes at its usual size. */
export function fitLadder(
  chorus: Pick<Chorus, 'harmony' | 'bars'>,
  room: Room,
  widthOf: (event: TimedHarmony) => number,
): LadderFit {
  const type = within(1, room.height / (WRITTEN + CHORUSES * RUNG + FOOT), MOST_TYPE);
  const free = (room.height - WRITTEN * type - FOOT) / CHORUSES;
  const rung = Math.round(within(RUNG * type, free, RUNG * MOST_RUNG));
  return {
    type,
    rung,
    contour: Math.round(CONTOUR * type + (rung - RUNG * type) / 3),
    quarter: fittingQuarter(chorus, room.width, (event) => widthOf(event) * type),
  };
}

/**
 * Width of a quarter note at which most written symbols have room and the window shows whole phrases. The
 * crowded tenth of a tune is set smaller instead of stretching the whole ruler.
 */
function fittingQuarter(
  chorus: Pick<Chorus, 'harmony' | 'bars'>,
  width: number,
  widthOf: (event: TimedHarmony) => number,
): number {
  const bar = Math.max(...chorus.bars.map((one) => one.length)) / TICKS_PER_QUARTER;
  const wanted = chorus.harmony
    .map((event) => widthOf(event) / (event.length / TICKS_PER_QUARTER))
    .sort((a, b) => a - b);
  const most = wanted[Math.floor((wanted.length - 1) * 0.9)] ?? 0;
  const least = LEAST_BAR / bar;
  const needed = within(least, most, least * 1.9);
  const seen = Math.min(Math.floor(width / (needed * bar)), chorus.bars.length);
  const whole = seen > PHRASE && seen < chorus.bars.length ? seen - (seen % PHRASE) : seen;
  const filling = whole > 0 ? width / whole / bar : needed;
  return Math.floor(within(needed, filling, needed * MOST_BAR) * 10) / 10;
}

function within(least: number, value: number, most: number): number {
  return Math.min(most, Math.max(least, value));
}
