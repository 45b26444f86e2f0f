import type { Pitch } from '../pitch/spelled.ts';

/** A chord as a hand plays it. Sounding pitches, low to high. */
export interface Voicing {
  readonly pitches: readonly Pitch[];
  /** Trade name of the kind: `shell`, `drop 2`, `drop 3`, `rootless A`, `spread`, `close`, `quartal`. */
  readonly kind: string;
  /** Guitar only: frets from the lowest string up, null where not played; absolute, 0 open. */
  readonly frets?: readonly (number | null)[];
}
