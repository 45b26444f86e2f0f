import type { ChordStyle } from '../../shared-core/chord/model.ts';

/** How a chart is put on paper. */
export interface PrintOptions {
  /** Default `a4`. */
  readonly paper?: 'a4' | 'letter';
  /** Everything at 130 %. Default false. */
  readonly large?: boolean;
  /** Spelling habit of chord symbols. Default `words`. */
  readonly style?: ChordStyle;
  /** Fret diagrams mirrored, the lowest string at the right. Default false. */
  readonly leftHanded?: boolean;
}

/** Points in a millimetre. */
export const MM = 72 / 25.4;

/** A sheet with a smaller staff (6 mm) and less air, for a chart that just misses a page; symbols and words keep their size. */
export function tightened(sheet: Sheet): Sheet {
  return { ...sheet, staffScale: sheet.staffScale * 0.9, leastAir: 0.4 * sheet.size };
}

/** Sizes of a chart on its paper; all in points. */
export interface Sheet {
  readonly width: number;
  readonly height: number;
  readonly margin: number;
  /** Room left of the staff for bar numbers. */
  readonly gutter: number;
  /** Left and right end of the staves. */
  readonly left: number;
  readonly right: number;
  /** 1, or 1.3 for large print. */
  readonly size: number;
  /** Least air between two lines. */
  readonly leastAir: number;
  /** Height of the staff against the engraver's own 7.2 mm. */
  readonly staffScale: number;
  readonly style: ChordStyle;
  /** Fret diagrams with the lowest string at the right. */
  readonly leftHanded: boolean;
}

/** Portrait papers, points. ISO 216 A4 is 210 x 297 mm; US Letter is 8.5 x 11 inches. */
const PAPERS = {
  a4: { width: 210 * MM, height: 297 * MM },
  letter: { width: 612, height: 792 },
} as const;

/** Works the options out. Nothing is printed nearer than the margin to the paper's edge. */
export function sheetOf(options: PrintOptions): Sheet {
  const paper = PAPERS[options.paper ?? 'a4'];
  const size = options.large ? 1.3 : 1;
  const margin = 11 * MM;
  const gutter = 14 * size;
  return {
    ...paper,
    margin,
    gutter,
    left: margin + gutter,
    right: paper.width - margin,
    size,
    staffScale: 0.92 * size,
    leastAir: 1.2 * size,
    style: options.style ?? 'words',
    leftHanded: options.leftHanded ?? false,
  };
}
