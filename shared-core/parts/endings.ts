/** An ending is at most so many bars. Common practice, no source. */
const LONGEST_ENDING = 4;

/** Whether the last bars of a form, or of a section, can be printed as an ending: few, and at most half of it. */
export function fitsEnding(tail: number, length: number): boolean {
  return tail <= LONGEST_ENDING && tail <= length / 2;
}
