import { lastStartingBy } from '../time/halving.ts';
import { barTicks, beatTicks, type Ticks } from '../time/meter.ts';
import type { Chorus, FormBar } from './model.ts';

/** A place in the chorus as people say it. */
export interface Address {
  /** 1-based place of the bar in the unrolled chorus; a pickup, where there is one, is 1. */
  readonly bar: number;
  /** Counted beat from the start of that bar, from 1; may carry a fraction such as 2.5. */
  readonly beat: number;
}

/**
 * Bar and beat of a place on the chorus timeline. Places past the end are taken around to the top,
 * because a chorus leads into the next one.
 *
 * @param ticks whole ticks from the start of the chorus, 0 or more
 * @example addressOf(chorus, 4800) // in 4/4: { bar: 2, beat: 2 }
 */
export function addressOf(chorus: Chorus, ticks: Ticks): Address {
  const bar = barAt(chorus, ticks);
  const at = inside(chorus, ticks) - bar.start;
  return { bar: bar.index + 1, beat: at / beatTicks(bar.meter) + 1 };
}

/**
 * The place on the chorus timeline of a bar and beat, the opposite of {@link addressOf}. Throws a
 * RangeError for a bar or beat that the chorus does not have: callers check what people typed.
 */
export function ticksAt(chorus: Chorus, bar: number, beat = 1): Ticks {
  const found = chorus.bars[bar - 1];
  if (!found) throw new RangeError(`The chorus has no bar ${bar}; it has ${chorus.bars.length}`);
  const at = Math.round((beat - 1) * beatTicks(found.meter));
  if (at < 0 || at >= found.length) throw new RangeError(`Bar ${bar} has no beat ${beat}`);
  return found.start + at;
}

/** The bar that sounds at a place; places past the end are taken around to the top. */
export function barAt(chorus: Chorus, ticks: Ticks): FormBar {
  const at = inside(chorus, ticks);
  const bar = chorus.bars[lastStartingBy(chorus.bars, at)];
  if (!bar) throw new RangeError('The chorus has no bars');
  return bar;
}

/**
 * Ticks into its meter at which a bar begins: 0 for a full bar, 2880 for a pickup of one beat in 4/4,
 * and what the bar before it filled for a bar that fills it up. Swing and accents go by this, not by
 * the place in the short bar.
 */
export function meterOffset(chorus: Chorus, index: number): Ticks {
  const bar = chorus.bars[index];
  if (!bar) throw new RangeError(`The chorus has no bar at ${index}`);
  if (bar.number === 0) return barTicks(bar.meter) - bar.length;
  let offset = 0;
  for (let i = index - 1; i >= 0 && chorus.bars[i]?.number === bar.number; i--) {
    offset += chorus.bars[i]?.length ?? 0;
  }
  return offset;
}

function inside(chorus: Chorus, ticks: Ticks): Ticks {
  if (ticks < 0) throw new RangeError(`No place in a chorus lies at ${ticks} ticks`);
  return chorus.length === 0 ? 0 : ticks % chorus.length;
}
