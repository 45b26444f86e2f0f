import type { Harmony } from '../chord/model.ts';
import type { Part } from '../parts/model.ts';
import type { PrintedMeasure } from '../parts/printed.ts';

/** What every bar of a document is written with. */
export interface MeasureContext {
  readonly part: Part;
  readonly mode: 'exchange' | 'engraving';
  readonly chordText: (harmony: Harmony, layer: 'band' | 'solo') => string;
  readonly lineStarts: ReadonlySet<number>;
  readonly printed: readonly PrintedMeasure[];
}
