import { symbolOf } from '../chord/format.ts';
import type { BarContent } from './content.ts';
import type { PartHarmony } from './model.ts';

/** What a chart is to be printed on, as far as its plan must know. */
export interface PlannedPaper {
  /** Default A4. */
  readonly paper?: 'a4' | 'letter';
  /** Everything at 130 %. Default false. */
  readonly large?: boolean;
}

/** Room on the pages of a chart, in points at normal size. */
export interface PageRoom {
  /** Height under the head of the first page, and under the running head of the others. */
  readonly first: number;
  readonly later: number;
  /** Width of a line after its clef and an ordinary key. */
  readonly width: number;
}

/** Points. ISO 216 A4 is 210 x 297 mm; US Letter is 8.5 x 11 inches. */
const PAPERS = {
  a4: { width: 595.3, height: 841.9 },
  letter: { width: 612, height: 792 },
} as const;
/** Margins of both sides; then, at normal size, head and foot, and what stands before the first bar of a line. */
const TAKEN = { margins: 62.4, head: 78, running: 18, foot: 16, clef: 68 } as const;
const LARGE = 1.3;

/** What the pages hold; the measures are the printer's (`main/print`). */
export function pageRoom({ paper = 'a4', large = false }: PlannedPaper): PageRoom {
  const size = large ? LARGE : 1;
  const { width, height } = PAPERS[paper];
  const free = (height - TAKEN.margins) / size - TAKEN.foot;
  return {
    first: free - TAKEN.head,
    later: free - TAKEN.running,
    width: (width - TAKEN.margins) / size - TAKEN.clef,
  };
}

/** Widths in points at normal size: a symbol's root and each further sign, the air after it; heads; air in a bar. */
const WIDTH = { root: 11, sign: 7.2, gap: 5, note: 15, short: 13, slash: 17, bar: 12 } as const;

/** About the least width of a bar: its symbols side by side, or its notes. */
export function barWidth({ band, solo, events }: BarContent): number {
  const heads = events.map(({ kind, length }) => {
    if (kind === 'note') return WIDTH.note;
    return length < 960 ? WIDTH.short : WIDTH.slash;
  });
  const notes = heads.reduce<number>((sum, each) => sum + each, 0);
  return Math.max(symbols(solo?.chords ?? band.chords), symbols(band.chords), notes) + WIDTH.bar;
}

function symbols(chords: readonly PartHarmony[]): number {
  return chords.reduce((sum, { harmony }) => {
    const signs = symbolOf(harmony).length - 1;
    return sum + WIDTH.root + signs * WIDTH.sign + WIDTH.gap;
  }, 0);
}
