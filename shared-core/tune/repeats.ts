import type { Result } from '../result.ts';
import { err, ok } from '../result.ts';
import type { WrittenBar } from './model.ts';

/** An ending of a repeat: the passes it is for, and its bars (both ends included). */
export interface Ending {
  readonly numbers: readonly number[];
  readonly start: number;
  readonly end: number;
}

/** A repeat found in a run of bars. Bars are 0-based places in the run, both ends included. */
export interface Repeat {
  readonly start: number;
  /** Last bar of the repeat, its last ending included. */
  readonly end: number;
  /** Passes in all. */
  readonly times: number;
  readonly endings: readonly Ending[];
}

/** A repeat that cannot be played: at which bar of the run, and why. */
export interface RepeatFault {
  readonly code: 'tune/repeat' | 'tune/ending';
  readonly index: number;
  readonly data: Readonly<Record<string, string | number>>;
}

/** More endings than this are no form. */
const MOST_ENDINGS = 99;

/** What is known while the run is read. */
interface Scan {
  readonly bars: readonly WrittenBar[];
  readonly bounds: ReadonlySet<number>;
  readonly found: Repeat[];
  /** Places of opening signs not yet closed. */
  readonly open: number[];
  /** Where a closing sign without an opening one goes back to. */
  home: number;
}

/**
 * Finds the repeats of a run of bars: nested ones, several endings, and closing signs without an
 * opening one, which go back to the bar after the last closing sign, or to the start of the run.
 * Sorted by start, outer repeats first.
 *
 * @param bounds places that a repeat cannot reach across (the start of a section set by a form)
 */
export function findRepeats(
  bars: readonly WrittenBar[],
  bounds: ReadonlySet<number> = new Set(),
): Result<readonly Repeat[], RepeatFault> {
  const scan: Scan = { bars, bounds, found: [], open: [], home: 0 };
  let index = 0;
  while (index < bars.length) {
    const next = readBar(scan, index);
    if (typeof next !== 'number') return err(next);
    index = next;
  }
  const left = scan.open.pop();
  if (left !== undefined) return err(notClosed(left));
  return ok(scan.found.sort((a, b) => a.start - b.start || b.end - a.end));
}

/** Reads the signs of one bar; gives the next bar to read, or what is wrong. */
function readBar(scan: Scan, index: number): number | RepeatFault {
  const bar = scan.bars[index] as WrittenBar;
  if (scan.bounds.has(index)) {
    const left = scan.open.pop();
    if (left !== undefined) return notClosed(left);
    scan.home = index;
  }
  if (bar.repeatStart) scan.open.push(index);
  if (bar.endings.length > 0) return readEndings(scan, index);
  if (bar.repeatEnd > 0) {
    const start = scan.open.pop() ?? scan.home;
    scan.found.push({ start, end: index, times: bar.repeatEnd, endings: [] });
    scan.home = index + 1;
  }
  return index + 1;
}

/** Reads all endings of one repeat, from the start of the first. */
function readEndings(scan: Scan, first: number): number | RepeatFault {
  const endings: Ending[] = [];
  let start = first;
  for (;;) {
    const extent = endings.length < MOST_ENDINGS ? extentOf(scan, start, endings) : null;
    if (extent === null) {
      return fault(start, 'not-closed', scan.bars[start]?.endings[0] ?? 1);
    }
    endings.push({ numbers: scan.bars[start]?.endings ?? [], start, end: extent });
    const next = extent + 1;
    if ((scan.bars[next]?.endings.length ?? 0) === 0 || scan.bounds.has(next)) break;
    start = next;
  }
  const wrong = numberingFault(endings);
  if (wrong) return wrong;
  const end = endings[endings.length - 1]?.end ?? first;
  const highest = Math.max(...endings.flatMap((ending) => ending.numbers));
  // A first ending alone: the second pass skips it and goes on after it.
  const times = endings.length === 1 ? highest + 1 : highest;
  scan.found.push({ start: scan.open.pop() ?? scan.home, end, times, endings });
  scan.home = end + 1;
  return end + 1;
}

/**
 * Last bar of the ending that starts at `start`; null where a closing sign is missing. An ending runs
 * to its closing sign. Only the one for the last pass may have none: its bracket is not closed in text,
 * so it counts as long as the ending before it.
 */
function extentOf(scan: Scan, start: number, before: readonly Ending[]): number | null {
  const last = before[before.length - 1];
  let end = start;
  while (scan.bars[end]?.repeatEnd === 0 && !endsBefore(scan, end + 1)) end++;
  const closed = (scan.bars[end]?.repeatEnd ?? 0) > 0;
  if (closed && (scan.bars[end + 1]?.endings.length ?? 0) > 0) return end;
  if (!last) return closed ? end : null;
  const highest = Math.max(...before.flatMap((ending) => ending.numbers));
  const isLastPass = Math.max(...(scan.bars[start]?.endings ?? [0])) > highest;
  if (!isLastPass) return closed ? end : null;
  if (!closed && (scan.bars[end + 1]?.endings.length ?? 0) > 0) return null;
  return Math.min(end, start + last.end - last.start);
}

function endsBefore(scan: Scan, index: number): boolean {
  const bar = scan.bars[index];
  return !bar || bar.endings.length > 0 || bar.repeatStart || scan.bounds.has(index);
}

/** Every pass up to the highest number must have exactly one ending. */
function numberingFault(endings: readonly Ending[]): RepeatFault | null {
  const seen = new Set<number>();
  for (const ending of endings) {
    for (const number of ending.numbers) {
      if (number < 1) return fault(ending.start, 'zero', number);
      if (seen.has(number)) return fault(ending.start, 'twice', number);
      seen.add(number);
    }
  }
  for (let number = 1; number <= Math.max(...seen); number++) {
    if (!seen.has(number)) return fault(endings[0]?.start ?? 0, 'missing', number);
  }
  return null;
}

function fault(index: number, reason: string, ending: number): RepeatFault {
  return { code: 'tune/ending', index, data: { reason, ending } };
}

function notClosed(index: number): RepeatFault {
  return { code: 'tune/repeat', index, data: { reason: 'not-closed' } };
}
