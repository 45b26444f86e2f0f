import type { Analysis } from '../analysis/model.ts';
import type { Band, Chair } from '../arrangement/band.ts';
import type { ArrangementState } from '../arrangement/model.ts';
import type { LineDegree } from '../line/model.ts';
import type { Tune } from '../tune/model.ts';
import type { LayoutWish } from './plan.ts';
import type { PlannedPaper } from './plan-page.ts';

/**
 * What the caller may choose about a part. Everything has a default. The paper is what the shortest chart is
 * planned for: a page holds less of large print.
 */
export interface PartOptions extends PlannedPaper {
  /** `auto`: the shortest honest chart; `compact`: shorter still by more strips; `written-out`: every chorus in full. */
  readonly layout?: LayoutWish;
  /** Everything at concert pitch. Default false. */
  readonly concert?: boolean;
  /** Printed as given: `v3`. */
  readonly version?: string | null;
  /** Printed as given; the engine has no clock. */
  readonly date?: string | null;
  /** Soloist: the guide-tone line in plain bars. Default true. */
  readonly guideTones?: boolean;
  /** Guitar: fret diagrams over the chords; keyboards: notes on two staves. Default false. */
  readonly voicings?: boolean;
  /** Bass: a line written out, walking or as directed, instead of roots and slashes. Default false. */
  readonly walkingLine?: boolean;
  /** Soloist: the melody in choruses labelled as a head. Default true. */
  readonly melody?: boolean;
  /**
   * Soloist: an example line over the changes of each solo chorus, instead of guide tones and arpeggios;
   * a kept line stays. `seed`: a whole number; another number, other lines. Default none.
   */
  readonly exampleLine?: { readonly degree: LineDegree; readonly seed: number } | null;
}

/** Everything a part is made from. */
export interface PartInput {
  readonly tune: Tune;
  readonly analysis: Analysis;
  readonly state: ArrangementState;
  readonly chair: Chair;
  readonly band: Band;
  readonly options?: PartOptions;
}
