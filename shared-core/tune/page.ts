import type { Meter } from '../time/meter.ts';
import type { Tune, WrittenBar } from './model.ts';

/** A bar where it stands on the page, with the meter in force there. */
export interface PageBar {
  /** 0-based place among all bars as written. */
  readonly page: number;
  readonly section: number;
  /** 0-based place in its section. */
  readonly writtenBar: number;
  readonly bar: WrittenBar;
  readonly meter: Meter;
}

/**
 * All written bars in the order of the page. The meter runs on from bar to bar as one reads the page,
 * whatever order the sections are played in.
 */
export function pageOf(tune: Tune): PageBar[] {
  const bars: PageBar[] = [];
  let meter = tune.meter;
  tune.sections.forEach((section, sectionIndex) => {
    section.bars.forEach((bar, writtenBar) => {
      meter = bar.meter ?? meter;
      bars.push({ page: bars.length, section: sectionIndex, writtenBar, bar, meter });
    });
  });
  return bars;
}

/** Number of a written bar as people count down the page: a pickup is 0. */
export function pageNumber(tune: Tune, page: number): number {
  return tune.pickup > 0 ? page : page + 1;
}
