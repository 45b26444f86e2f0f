import type { BarContent } from './content.ts';
import { fitsEnding } from './endings.ts';
import { barWidth, type PageRoom } from './plan-page.ts';

/**
 * Heights on paper in points at normal size, as the printer sets them: what the plan of a chart weighs
 * its ways of writing by. Estimates, measured on the lines of all charts of the sample library (the usual
 * height of each kind of line); the pages themselves are dealt out by the printer.
 */
export const PAPER = {
  /** A line of bars with their chords, and the least air under it. */
  line: 43.5,
  /** Notes that leave the staff. */
  notes: 4,
  /** The band's changes under a soloist's line. */
  layer: 19,
  /** What a note is there for, under it. */
  marks: 8,
  /** Names of scales that find no room beside their chords. */
  scales: 14,
  /** Fret diagrams over the chords. */
  diagrams: 45,
  /** A second staff, for voicings of a keyboard. */
  staff: 50,
  /** A row of cues, instructions or other choruses' changes. */
  row: 15.5,
  heading: 17,
  rest: 23,
} as const;

/** Bars to a line; of bars of time that no chord stands over, which are printed as repeat signs. */
const BARS_A_LINE = { usual: 4, repeated: 8 } as const;

/** The rows that stand over each bar besides its chords, by name: bars of a line share those of one name. */
export type RowsOver = (bar: number) => ReadonlySet<string>;

/** A line of so many bars or fewer, from a place in the form. */
interface Line {
  readonly from: number;
  readonly count: number;
}

/**
 * Height of one form written from top to bottom, rows included.
 *
 * @param width of a line, see `PageRoom`
 */
export function heightOf(form: readonly BarContent[], rows: RowsOver, width: number): number {
  return sectionsOf(form).reduce(
    (sum, section) => sum + sectionHeight(form, section, rows, width),
    0,
  );
}

/** Height of one chorus printed once, with like sections of it written once; see `foldSections`. */
export function foldedHeight(form: readonly BarContent[], rows: RowsOver, width: number): number {
  const sections = sectionsOf(form);
  let height = 0;
  for (let at = 0; at < sections.length; at++) {
    const here = sections[at];
    const next = sections[at + 1];
    if (!here) break;
    height += sectionHeight(form, here, rows, width);
    const tail = next ? sharedTail(form, here, next) : null;
    if (next && tail !== null) {
      const from = next.from + next.count - tail;
      if (tail > 0) height += sectionHeight(form, { from, count: tail }, rows, width);
      at++;
    }
  }
  return height;
}

/**
 * Pages a chart of such a height takes. What an estimate may fall short by, the printer can gain with a smaller
 * staff.
 */
export function pagesOf(height: number, { first, later }: PageRoom): number {
  return height <= first ? 1 : 1 + Math.ceil((height - first) / later);
}

/**
 * Rows of cues and instructions that a bar of one or several choruses has: one for the cues of each chorus (the
 * first of those that share one), one for the cues of all, one for each instruction.
 *
 * @param column the bar in each chorus, in order
 * @param lead whether who leads the changes is said at the bar
 */
export function wordRows(column: readonly BarContent[], lead: boolean): ReadonlySet<string> {
  const rows = new Set<string>();
  const cues = new Map<string, { readonly first: number; times: number }>();
  column.forEach((bar, at) => {
    for (const cue of new Set(bar.cues.map((each) => JSON.stringify(each)))) {
      const known = cues.get(cue);
      if (known) known.times++;
      else cues.set(cue, { first: at, times: 1 });
    }
    for (const direction of bar.directions)
      if (direction.begins && (lead || !direction.lead)) rows.add(direction.words);
  });
  for (const { first, times } of cues.values())
    rows.add(times === column.length ? 'cues' : chorusRow(first));
  return rows;
}

/** The row of what is for one chorus of a block, 0-based. */
export function chorusRow(pass: number): string {
  return `chorus ${pass}`;
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

function sectionHeight(
  form: readonly BarContent[],
  section: Line,
  rows: RowsOver,
  width: number,
): number {
  let height = 0;
  // A pickup stands on the line of the bar it leads to.
  const pickup = form[section.from]?.bar.number === 0 ? 1 : 0;
  const end = section.from + section.count;
  const repeated = form.slice(section.from, end).every(isTime);
  const most = repeated ? BARS_A_LINE.repeated : BARS_A_LINE.usual;
  for (let from = section.from; from < end; ) {
    const last = Math.min(end, from + most + (from === section.from ? pickup : 0));
    const to = repeated ? last : fitting(form, from, last, width);
    height += lineHeight(form.slice(from, to), from, rows);
    from = to;
  }
  return height;
}

/** Where a line ends that begins at a bar and has room for at least that one. */
function fitting(form: readonly BarContent[], from: number, last: number, width: number): number {
  let [to, used] = [from, 0];
  for (let bar = form[to]; bar && to < last; bar = form[++to]) {
    used += barWidth(bar);
    if (used > width && to > from) return to;
  }
  return to;
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
  const names = new Set(line.flatMap((_, index) => [...rows(from + index)]));
  const marks = line.some(({ events }) =>
    events.some((event) => event.kind === 'note' && event.mark !== null),
  );
  const parts = [
    PAPER.line,
    notes ? PAPER.notes : 0,
    layer ? PAPER.layer : 0,
    marks ? PAPER.marks : 0,
    line.some(({ scales }) => scales.length > 0) ? PAPER.scales : 0,
    diagrams ? PAPER.diagrams : 0,
    grand ? PAPER.staff : 0,
    names.size * PAPER.row,
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
  return fitsEnding(tail, a.count) ? tail : null;
}

function looks(bar: BarContent | undefined): string {
  return bar ? JSON.stringify([bar.key, bar.cues, bar.directions]) : '';
}
