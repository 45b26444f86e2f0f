import type { Item } from './scene.ts';

/** A box of words that must find a free place above the staff. */
export interface Floating {
  readonly x: number;
  readonly width: number;
  readonly height: number;
  /** The leftmost place it may be moved to; its own where it must not be moved. */
  readonly least: number;
  /** The first chorus it is for, 1-based; null where it is for all, or no matter of choruses. */
  readonly chorus: number | null;
  /** How it is put directly after other words of its chorus: shorter, since those have named it; null for the same. */
  readonly after: Floating | null;
  readonly draw: (baseline: number) => readonly Item[];
}

/** A box that stays where it is and is no matter of choruses. */
export function fixedAt(x: number): Pick<Floating, 'x' | 'least' | 'chorus' | 'after'> {
  return { x, least: x, chorus: null, after: null };
}
