import { glyphName } from '../../shared-core/chord/format.ts';
import type { Part } from '../../shared-core/parts/model.ts';
import { isCompound } from '../../shared-core/time/meter.ts';
import { setText } from './fonts.ts';
import { WORDS } from './looks.ts';
import type { Sheet } from './options.ts';
import { wordsAt } from './place.ts';
import type { Item } from './scene.ts';
import { stroke } from './shapes.ts';

/** Items from y = 0 down, and the height they take. */
export interface SetHead {
  readonly items: readonly Item[];
  readonly height: number;
}

/** The head of the first page: chair, title, credit; then how it goes and the road map. */
export function setHead(part: Part, sheet: Sheet): SetHead {
  const { head } = part;
  const { size, margin, right } = sheet;
  const left = margin;
  const centre = sheet.width / 2;
  const words = WORDS.headWords * size;
  const side = (right - left) * 0.27;
  const version = [head.version, head.date].filter(Boolean).join(' · ');
  const titleRoom = right - left - side * 2 - 14 * size;
  const titleLines = fitTitle(head.title, WORDS.title * size, titleRoom);
  const items: Item[] = [
    ...fitted('bold', WORDS.chair * size, head.chair, left, 12 * size, side),
    ...fitted('regular', words, head.transposition, left, 26 * size, side),
    ...titleLines.lines.flatMap((line, index) =>
      wordsAt('bold', titleLines.size, line, centre, (18 + index * 24) * size, 'centre'),
    ),
    ...fitted('regular', words, head.credit ?? '', right, 12 * size, side, 'right'),
    ...fitted('italic', words, head.arrangement, right, 26 * size, side, 'right'),
    ...fitted('italic', words, version, right, 39 * size, side, 'right'),
  ];
  const second = (titleLines.lines.length > 1 ? 64 : 53) * size;
  const feel = wordsAt(
    'semibold',
    WORDS.road * size,
    head.feel ? capital(head.feel) : '',
    left,
    second,
  );
  const feelEnd =
    feel.length > 0
      ? left + setText('semibold', WORDS.road * size, capital(head.feel ?? '')).width + 12 * size
      : left;
  items.push(
    ...feel,
    ...wordsAt('semibold', WORDS.road * size, tempoWords(part), feelEnd, second),
    ...wordsAt(
      'regular',
      words,
      `${glyphName(part.key.tonic)} ${part.key.mode} · ${head.form}`,
      right,
      second,
      'right',
    ),
  );
  const road = roadLines(head.road, WORDS.road * size, right - left);
  road.forEach((line, index) => {
    items.push(
      ...wordsAt('regular', WORDS.road * size, line, left, second + (15 + index * 13.5) * size),
    );
  });
  const bottom = second + (15 + (road.length - 1) * 13.5 + 6) * size;
  items.push(stroke(`M${left} ${bottom}L${right} ${bottom}`, 0.7 * size));
  return { items, height: bottom + 4 * size };
}

/** `♩ = 148`; a dotted beat in compound meters; nothing where the tune has no tempo. */
function tempoWords(part: Part): string {
  const { tempo } = part.head;
  if (tempo === null) return '';
  return `${isCompound(part.meter) ? '♩.' : '♩'} = ${tempo}`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** Words made smaller until they fit, down to 8.5 points; then broken off with an ellipsis. */
function fitted(
  face: 'bold' | 'regular' | 'italic',
  size: number,
  text: string,
  x: number,
  y: number,
  room: number,
  align: 'left' | 'right' = 'left',
): readonly Item[] {
  if (text === '') return [];
  const width = setText(face, size, text).width;
  if (width <= room) return wordsAt(face, size, text, x, y, align);
  const smaller = Math.min(size, Math.max((room / width) * size, 8.5));
  let shown = text;
  while (shown.length > 1 && setText(face, smaller, shown).width > room)
    shown = `${shown.replace(/…$/u, '').slice(0, -1).trimEnd()}…`;
  return wordsAt(face, smaller, shown, x, y, align);
}

/** The title on one line if it fits at two thirds of its size or more, else on two. */
function fitTitle(title: string, size: number, room: number): { lines: string[]; size: number } {
  const width = setText('bold', size, title).width;
  if (width <= room) return { lines: [title], size };
  if (width * 0.68 <= room) return { lines: [title], size: (size * room) / width };
  const lines = breakWords(title, size * 0.72, room);
  const shown = lines.slice(0, 2);
  if (lines.length > 2) shown[1] = `${shown[1] ?? ''} …`;
  const widest = Math.max(...shown.map((line) => setText('bold', size * 0.72, line).width));
  return { lines: shown, size: size * 0.72 * Math.min(1, room / widest) };
}

function breakWords(text: string, size: number, room: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(/\s+/u)) {
    const last = lines.at(-1);
    const joined = last === undefined ? word : `${last} ${word}`;
    if (last !== undefined && setText('bold', size, joined).width <= room)
      lines[lines.length - 1] = joined;
    else lines.push(word);
  }
  return lines;
}

/** The road map broken at its dots. */
function roadLines(road: string, size: number, room: number): readonly string[] {
  const lines: string[] = [];
  for (const piece of road.split(' · ')) {
    const last = lines.at(-1);
    const joined = last === undefined ? piece : `${last} · ${piece}`;
    if (last !== undefined && setText('regular', size, joined).width <= room)
      lines[lines.length - 1] = joined;
    else lines.push(piece);
  }
  return lines;
}

/** The running head of later pages. */
export function setRunningHead(part: Part, sheet: Sheet): SetHead {
  const size = sheet.size;
  const { head } = part;
  const baseline = 10 * size;
  return {
    items: [
      ...wordsAt('bold', WORDS.headWords * size, head.title, sheet.margin, baseline),
      ...wordsAt(
        'regular',
        WORDS.headWords * size,
        `${head.chair} · ${head.arrangement}`,
        sheet.right,
        baseline,
        'right',
      ),
      stroke(
        `M${sheet.margin} ${baseline + 5 * size}L${sheet.right} ${baseline + 5 * size}`,
        0.7 * size,
      ),
    ],
    height: baseline + 8 * size,
  };
}

/** The foot line: what this is on the left, which page on the right. `y` is its baseline. */
export function setFoot(
  part: Part,
  sheet: Sheet,
  page: number,
  pages: number,
  y: number,
): readonly Item[] {
  const { head } = part;
  const size = WORDS.foot * sheet.size;
  const left = [head.title, head.chair, head.arrangement, head.version, head.date]
    .filter(Boolean)
    .join(' · ');
  return [
    ...fitted('regular', size, left, sheet.margin, y, (sheet.right - sheet.margin) * 0.8),
    ...wordsAt('regular', size, `page ${page} of ${pages}`, sheet.right, y, 'right'),
  ];
}
