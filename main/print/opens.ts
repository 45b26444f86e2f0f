import type { PrintedMeasure } from '../../shared-core/parts/printed.ts';
import type { Bar } from './bar-places.ts';

/** What begins with a line: a block, strip or coda, a section, a phrase of four bars; each is the next as well. */
export interface Opens {
  readonly block: boolean;
  readonly section: boolean;
  readonly phrase: boolean;
}

/** Bars of a phrase. Common practice, no source. */
const PHRASE = 4;

/** What begins with the line of a bar: the better places for a page to begin. */
export function opensOf(printed: readonly PrintedMeasure[], bar: Bar | undefined): Opens {
  if (!bar) return { block: false, section: false, phrase: false };
  const block = bar.printed.position === 0;
  const section = block || bar.measure.rehearsal !== null;
  return { block, section, phrase: section || opensPhrase(printed, bar) };
}

/** Whether whole phrases lie between a bar and the start of its section, as the bars are numbered. */
function opensPhrase(printed: readonly PrintedMeasure[], { engraved, measure }: Bar): boolean {
  const start = printed.findLast(
    (other, at) =>
      at < engraved.ordinal &&
      (other.position === 0 || other.measure.rehearsal !== null) &&
      other.measure.number > 0,
  );
  return (measure.number - (start?.measure.number ?? 1)) % PHRASE === 0;
}
