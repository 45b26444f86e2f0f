import type { Tune } from '../../../shared-core/tune/model.ts';
import type { Repeat } from '../../../shared-core/tune/repeats.ts';
import type { Run } from '../../../shared-core/tune/unroll.ts';
import type { Piece } from './voice.ts';

/** What the measures are written from. */
export interface Sheet {
  readonly tune: Tune;
  readonly run: Run;
  readonly repeats: readonly Repeat[];
  readonly melody: readonly (readonly Piece[])[];
}
