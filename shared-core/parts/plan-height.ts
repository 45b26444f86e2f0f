import type { BarContent } from './content.ts';

/**
 * Heights on paper in points at normal size, as the printer sets them: what the plan of a chart weighs
 * its ways of writing by. Estimates, measured on charts of the sample library; the pages themselves are
 * dealt out by the printer.
 */
export const PAPER = {
  /** A line of four bars with its chords, and the least air under it. */
  line: 46,
  /** Notes that leave the staff. */
  notes: 6,
  /** The band's changes and the marks under a soloist's line. */
  layer: 22,
  /** Fret diagrams over the chords. */
  diagrams: 45,
  /** A second staff, for voicings of a keyboard. */
  staff: 50,
  /** A row of cues, instructions or other choruses' changes. */
  row: 14.5,
  heading: 17,
  rest: 24,
  /** What the first page and the others have room for. */
  first: 685,
  later: 740,
} as const;

/** Bars to a line; of bars of time that no chord stands over, which are printed as repeat signs. */
const BARS_A_LINE = { usual: 4, repeated: 8 } as const;
/** A second ending inside a chorus is at most so many bars; see `sections.ts`. */
const LONGEST_ENDING = 4;

/** How many rows stand over each bar besides its chords. */
export type RowsOver = (bar: number) => number;

/** A line of so many bars or fewer, from a place in the form. */
interface Line {
  readonly from: number;
  readonly count: number;
}

/** Height of one form written from top to bottom, rows included. */
export function heightOf(form: readonly BarContent[], rows: RowsOver): number {
  return sectionsOf(form).reduce((sum, section) => sum + sectionHeight(form, section, rows), 0);
}

/** Height of one chorus printed once, with like sections of it written once; see `foldSections`. */
export function foldedHeight(form: readonly BarContent[], rows: RowsOver): number {
  const sections = sectionsOf(form);
  let height = 0;
  for (let at = 0; at < sections.length; at++) {
    const here = sections[at];
    const next = sections[at + 1];
    if (!here) break;
    height += sectionHeight(form, here, rows);
    const tail = next ? sharedTail(form, here, next) : null;
    if (next && tail !== null) {
      const from = next.from + next.count - tail;
      if (tail > 0) height += sectionHeight(form, { from, count: tail }, rows);
      at++;
    }
  }
  return height;
}

/** Pages a chart of such a height takes. */
export function pagesOf(height: number): number {
  return height <= PAPER.first ? 1 : 1 + Math.ceil((height - PAPER.first) / PAPER.later);
}

/**
 * Rows of cues and instructions that a bar of one or several choruses has: each different one is a row.
 *
 * @param lead whether who leads the changes is said at the bar
 */
export function wordRows(column: readonly BarContent[], lead: boolean): number {
  const words = new Set<string>();
  for (const bar of column) {
    for (const cue of bar.cues) words.add(JSON.stringify(cue));
    for (const direction of bar.directions)
      if (direction.begins && (lead || !direction.lead))
        words.add(`${direction.at} ${direction.words}`);
  }
  return words.size;
}

function sectionsOf(form: readonly BarContent[]): readonly Line[] {
  const sections: { from: number; count: number }[] = [];
  form.forEach(({ bar }, index) => {
    const last = sections.at(-1);
    if (last && !(bar.startsSection && bar.label !== '')) last.count++;
    else sections.push({ from: index, count: 1 });
  });
  return sections;
}

function sectionHeight(form: readonly BarContent[], section: Line, rows: RowsOver): number {
  let height = 0;
  // A pickup stands on the line of the bar it leads to.
  const pickup = form[section.from]?.bar.number === 0 ? 1 : 0;
  const end = section.from + section.count;
  const most = form.slice(section.from, end).every(isTime)
    ? BARS_A_LINE.repeated
    : BARS_A_LINE.usual;
  for (let from = section.from; from < end; ) {
    const to = Math.min(end, from + most + (from === section.from ? pickup : 0));
    height += lineHeight(form.slice(from, to), from, rows);
    from = to;
  }
  return height;
}

function isTime({ band, events }: BarContent): boolean {
  return band.chords.length === 0 && events.every(({ kind }) => kind === 'slash');
}

function lineHeight(line: readonly BarContent[], from: number, rows: RowsOver): number {
  const notes = line.some(({ events }) => events.some(({ kind }) => kind === 'note'));
  const layer = line.some(({ solo }) => solo !== null);
  const diagrams = line.some(({ voicings }) => voicings.some(({ voicing }) => voicing.frets));
  const grand = line.some(({ events }) =>
    events.some((event) => event.kind === 'note' && event.pitches.length > 1),
  );
  const most = Math.max(0, ...line.map((_, index) => rows(from + index)));
  const parts = [
    PAPER.line,
    notes ? PAPER.notes : 0,
    layer ? PAPER.layer : 0,
    diagrams ? PAPER.diagrams : 0,
    grand ? PAPER.staff : 0,
    most * PAPER.row,
  ];
  return parts.reduce((sum, each) => sum + each, 0);
}

/** Bars at the end of the second section that are its own; null where the two are not to be folded. */
function sharedTail(form: readonly BarContent[], a: Line, b: Line): number | null {
  const first = form[a.from]?.bar.label;
  if (a.count !== b.count || first !== form[b.from]?.bar.label) return null;
  let shared = 0;
  while (shared < a.count && looks(form[a.from + shared]) === looks(form[b.from + shared]))
    shared++;
  const tail = a.count - shared;
  return tail > LONGEST_ENDING || tail > a.count / 2 ? null : tail;
}

function looks(bar: BarContent | undefined): string {
  return bar ? JSON.stringify([bar.key, bar.cues, bar.directions]) : '';
}
