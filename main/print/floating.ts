import type { Item } from './scene.ts';

/** A box of words that must find a free place above the staff. */
export interface Floating {
  readonly x: number;
  readonly width: number;
  readonly height: number;
  readonly draw: (baseline: number) => readonly Item[];
}
