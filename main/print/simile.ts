import type { PartMeasure } from '../../shared-core/parts/model.ts';
import type { PrintedMeasure } from '../../shared-core/parts/printed.ts';
import { sameMeter } from '../../shared-core/time/meter.ts';

/** Bars to a line where most of them are repeat signs: two phrases. */
export const REPEATED_A_LINE = 8;
/** Bars of time are counted by phrases. Common practice, no source. */
const PHRASE = 4;

/** Whether a bar may be written as a repeat of the one before: time goes on in both, and nothing divides them. */
export function repeatsBefore(before: PartMeasure | undefined, here: PartMeasure): boolean {
  if (!before || !isTime(before) || !isTime(here)) return false;
  const divided =
    here.repeatStart || before.repeatEnd > 0 || here.endingStart || here.rehearsal !== null;
  return !divided && sameMeter(before.meter, here.meter) && before.length === here.length;
}

/** Slashes and nothing else: neither chords nor hits. */
function isTime({ events, band, solo }: PartMeasure): boolean {
  return band.length === 0 && solo === null && events.every(({ kind }) => kind === 'slash');
}

/** For each printed bar, whether it may be written as a repeat of the one before. */
export function repeatable(printed: readonly PrintedMeasure[]): readonly boolean[] {
  return printed.map(
    ({ measure, position }, at) => position > 0 && repeatsBefore(printed[at - 1]?.measure, measure),
  );
}

/**
 * The count over a repeated bar at the end of each phrase, from the bar of slashes on: 4, 8; null elsewhere.
 *
 * @param bars of a line, in order
 */
export function countOver(bars: readonly PartMeasure[], index: number): number | null {
  if (!isRepeat(bars[index])) return null;
  let from = index;
  while (isRepeat(bars[from])) from--;
  const count = index - from + 1;
  return count % PHRASE === 0 ? count : null;
}

function isRepeat(bar: PartMeasure | undefined): boolean {
  return bar?.events[0]?.kind === 'simile';
}
