import { setText } from './fonts.ts';
import { WORDS } from './looks.ts';
import { type PrintOptions, type Sheet, sheetOf } from './options.ts';
import { wordsAt } from './place.ts';
import type { Item, Page, Scene } from './scene.ts';
import { stroke } from './shapes.ts';

/** What a set sheet says. */
export interface SetSheet {
  readonly title: string;
  readonly lines: readonly SetSheetLine[];
  /** Words under the last line: how long it all takes. */
  readonly total: string;
}

/** One line of a set sheet. */
export interface SetSheetLine {
  readonly number: string;
  readonly title: string;
  /** Key, tempo, feel. */
  readonly facts: string;
  /** How long, or when. */
  readonly clock: string;
  readonly note: string | null;
}

/** Lays a set sheet out: large enough to be read from the floor. */
export function layOutSetSheet(sheet: SetSheet, options: PrintOptions): Scene {
  const paper = sheetOf(options);
  const size = paper.size;
  const rows = sheet.lines.map((line) => ({ line, height: (line.note ? 52 : 36) * size }));
  const room = paper.height - paper.margin * 2 - 60 * size - 40 * size;
  const pages: (typeof rows)[] = [[]];
  let filled = 0;
  for (const row of rows) {
    if (filled + row.height > room && filled > 0) {
      pages.push([]);
      filled = 0;
    }
    pages.at(-1)?.push(row);
    filled += row.height;
  }
  return {
    title: sheet.title,
    glyphs: {},
    pages: pages.map((own, index) => sheetPage(sheet, paper, own, index, pages.length)),
  };
}

function sheetPage(
  sheet: SetSheet,
  paper: Sheet,
  rows: readonly { readonly line: SetSheetLine; readonly height: number }[],
  index: number,
  count: number,
): Page {
  const { size, margin, right, width, height } = paper;
  const items: Item[] = [
    ...shrunk('bold', WORDS.title * size, sheet.title, margin, margin + 22 * size, right - margin),
    stroke(`M${margin} ${margin + 34 * size}L${right} ${margin + 34 * size}`, 1 * size),
  ];
  let y = margin + 60 * size;
  for (const { line, height: rowHeight } of rows) {
    const indent = margin + 34 * size;
    const clock = wordsAt('semibold', 13 * size, line.clock, right, y, 'right');
    items.push(
      ...wordsAt('bold', 19 * size, line.number, margin + 26 * size, y, 'right'),
      ...shrunk('bold', 19 * size, line.title, indent, y, (right - indent) * 0.55),
      ...shrunk(
        'regular',
        12 * size,
        line.facts,
        indent + (right - indent) * 0.58,
        y,
        (right - indent) * 0.3,
      ),
      ...clock,
    );
    if (line.note)
      items.push(...shrunk('italic', 12 * size, line.note, indent, y + 17 * size, right - indent));
    y += rowHeight;
  }
  if (index === count - 1)
    items.push(...wordsAt('semibold', 13 * size, sheet.total, right, y, 'right'));
  const foot = `page ${index + 1} of ${count}`;
  items.push(...wordsAt('regular', WORDS.foot * size, foot, right, height - margin - 2, 'right'));
  return { width, height, items, marks: [] };
}

/** Words made smaller where they do not fit, and broken off where even that is not enough. */
function shrunk(
  face: 'bold' | 'regular' | 'italic',
  size: number,
  text: string,
  x: number,
  y: number,
  room: number,
): readonly Item[] {
  const width = setText(face, size, text).width;
  if (width <= room) return wordsAt(face, size, text, x, y);
  const smaller = size * Math.max(0.7, room / width);
  let shown = text;
  while (shown.length > 1 && setText(face, smaller, shown).width > room)
    shown = `${shown.replace(/…$/u, '').slice(0, -1).trimEnd()}…`;
  return wordsAt(face, smaller, shown, x, y);
}
