import type { Focus } from './ladder-store.ts';

/** Id of the element of a cell or a row's head. */
export function cellId({ row, column }: Focus): string {
  return `cell-${row}-${column}`;
}

/** Gives the keyboard back to the ladder, where the person stands on it. */
export function focusLadder(focus: Focus): void {
  document.getElementById(cellId(focus))?.focus({ preventScroll: true });
}
