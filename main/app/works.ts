import type { Analysis } from '../../shared-core/analysis/model.ts';
import type { Band, Chair } from '../../shared-core/arrangement/band.ts';
import type { ArrangementState } from '../../shared-core/arrangement/model.ts';
import type { Answer } from '../../shared-core/contract/errors.ts';
import type { ChartOptions, CheckFinding } from '../../shared-core/contract/types.ts';
import type { PerformOptions } from '../../shared-core/performance/stage.ts';
import type { Tune } from '../../shared-core/tune/model.ts';

/** What a chart is made of. */
export interface ChartInput {
  readonly tune: Tune;
  readonly analysis: Analysis;
  readonly state: ArrangementState;
  readonly band: Band;
  readonly chair: Chair;
  readonly options: ChartOptions;
  /** Printed in the head: `version 12`, and the day as `2025-03-01`. */
  readonly version: string;
  readonly date: string;
}

/** What a sound file is made of. */
export interface SoundInput {
  readonly tune: Tune;
  readonly analysis: Analysis;
  readonly state: ArrangementState;
  readonly band: Band;
  /** What is left out, how fast, which choruses, and whether it ends. */
  readonly options: PerformOptions;
}

/** What a set sheet says, line by line. */
export interface SheetInput {
  readonly title: string;
  readonly lines: readonly SheetLine[];
  readonly total: string;
}

/** One line of a set sheet. */
export interface SheetLine {
  readonly number: string;
  readonly title: string;
  readonly facts: string;
  readonly clock: string;
  readonly note: string | null;
}

/**
 * The makers of charts and sound. They pull in engraving and fonts, so they are loaded when first asked
 * for; tests give lighter ones.
 */
export interface Works {
  chartSvg(input: ChartInput): Promise<readonly string[]>;
  chartPdf(input: ChartInput): Promise<Uint8Array>;
  chartMusicXml(input: ChartInput): Promise<string>;
  bookPdf(title: string, inputs: readonly ChartInput[]): Promise<Uint8Array>;
  sheetPdf(input: SheetInput, paper: 'a4' | 'letter'): Promise<Uint8Array>;
  midi(input: SoundInput): Promise<Uint8Array>;
  /** Reads a file in any format we know. The error names the file, and the line or bar where it can. */
  readTunes(
    name: string,
    bytes: Uint8Array,
    signal?: AbortSignal,
  ): Promise<Answer<{ readonly tunes: readonly Tune[]; readonly warnings: readonly string[] }>>;
  /** Versions and faults of fonts and engraver, for the check. */
  inspect(): Promise<readonly CheckFinding[]>;
}
