import type { Harmony } from '../../shared-core/chord/model.ts';
import { partToMusicXml } from '../../shared-core/notation/musicxml.ts';
import type { Part, PartMeasure } from '../../shared-core/parts/model.ts';
import { type PrintedMeasure, printedMeasures } from '../../shared-core/parts/printed.ts';
import { signatureOf } from '../../shared-core/pitch/key.ts';
import { setChord } from './chord-symbol.ts';
import { engrave } from './engraver.ts';
import { setText } from './fonts.ts';
import { DIAGRAM } from './fret-diagram.ts';
import { setFoot, setHead, setRunningHead } from './head.ts';
import { lineStarts } from './lines.ts';
import { LOOKS, scaledLook, WORDS } from './looks.ts';
import { MM, type PrintOptions, type Sheet, sheetOf, tightened } from './options.ts';
import { leastHeight, paginate } from './paginate.ts';
import { moveItem } from './place.ts';
import { readEngraving } from './read-svg.ts';
import { setRestLines } from './rest-line.ts';
import { restated } from './restate.ts';
import type { Item, Scene } from './scene.ts';
import { REPEATED_A_LINE, repeatable } from './simile.ts';
import { type SetSystem, setSystem } from './system.ts';
import { headingOf } from './wording.ts';

/** How far a chart may miss a page, as a share of its height, for a smaller staff to be tried. */
const NEAR_MISS = 1.1;
/** What speaks against pages (see `Paginated`) before a smaller staff is tried for better ones; and how much better. */
const POOR = { from: 10, gain: 5 } as const;

/**
 * Lays a part out: engraves it, sets its words and puts its lines on pages; with a smaller staff where that
 * saves a page, or opens crowded ones and turns them in a better place.
 */
export async function layOut(whole: Part, options: PrintOptions): Promise<Scene> {
  const sheet = sheetOf(options);
  const usual = await setOn(sheet, whole);
  const count = usual.pages.length;
  if (count === 1 || (usual.overfull > NEAR_MISS && usual.cost < POOR.from)) return usual;
  const tight = await setOn(tightened(sheet), whole);
  const better = tight.pages.length === count && tight.cost < usual.cost - POOR.gain;
  return better || tight.pages.length < count ? tight : usual;
}

/** A chart on a sheet, and how well its pages came out. */
interface Laid extends Scene {
  /** Least height against what one page less would hold. */
  readonly overfull: number;
  /** See `Paginated`. */
  readonly cost: number;
}

async function setOn(sheet: Sheet, whole: Part): Promise<Laid> {
  const part = engravedPart(whole);
  const bars = printedMeasures(part);
  const signs = part.reading.clef.sign === 'percussion' ? repeatable(bars) : [];
  const widths = bars.map((bar, at) =>
    Math.max(
      signs[at] ? SIGN * sheet.size : leastWidth(bar.measure, sheet, leastRoom(part, sheet)),
      bar.place === 'strip' ? headingWidth(part, bar, sheet) / bar.of : 0,
    ),
  );
  const most = signs.includes(true) ? REPEATED_A_LINE : undefined;
  const starts = lineStarts(bars, widths, roomOf(part, sheet), most);
  const shown = restated(part, starts);
  const printed = printedMeasures(shown);
  const musicXml = partToMusicXml(shown, {
    mode: 'engraving',
    chordText: roomText(sheet, leastRoom(part, sheet)),
    lineStarts: starts,
    padding: paddingOf(printed, starts, widths, roomOf(part, sheet), most),
  });
  const width = ((sheet.right - sheet.left) / MM) * 10;
  const svgs = bars.length > 0 ? await engrave(musicXml, width / sheet.staffScale) : [];
  const tall = svgs.map((svg) => readEngraving(svg, (MM / 100) * sheet.staffScale));
  const glyphs = Object.assign({}, ...tall.map((page) => page.glyphs)) as Scene['glyphs'];
  const systems = tall
    .flatMap((page) => page.systems)
    .map((system) => setSystem({ part: shown, printed, sheet }, system));
  const lines = withRestLines(whole, sheet, systems, printed);
  const { pages, overfull, cost } = pagesOf(shown, sheet, clearOfClefs(lines));
  return { title: part.head.title, pages, glyphs, overfull, cost };
}

/** The part without the bars that are only counted; its blocks keep their places. */
function engravedPart(part: Part): Part {
  const blocks = part.blocks.map((block) => (block.rests ? { ...block, measures: [] } : block));
  return { ...part, blocks };
}

/** Blocks of rest that follow each other, given at the first of them; null at the others. */
function restRun({ blocks }: Part, index: number): readonly number[] | null {
  if (blocks[index - 1]?.rests) return null;
  let end = index;
  while (blocks[end]?.rests) end++;
  return Array.from({ length: end - index }, (_, at) => index + at);
}

/** The engraved lines, and between them a line of rest for each block that is only counted. */
function withRestLines(
  part: Part,
  sheet: Sheet,
  systems: readonly SetSystem[],
  printed: readonly PrintedMeasure[],
): readonly SetSystem[] {
  const placeOf = ({ first }: SetSystem): number => {
    const bar = printed[first];
    return bar && bar.place !== 'coda' ? bar.block : part.blocks.length;
  };
  const before = (block: number): SetSystem[] => systems.filter((line) => placeOf(line) === block);
  const lines = part.blocks.flatMap((block, index) => {
    if (!block.rests) return before(index);
    // Rests that follow each other share a line where they can.
    const run = restRun(part, index);
    if (run === null) return [];
    const next = printed.findIndex((bar) => bar.place === 'coda' || bar.block > index);
    const rests = setRestLines(part, run, sheet, next < 0 ? printed.length : next);
    return [...rests, ...run.flatMap(before)];
  });
  return [...lines, ...before(part.blocks.length)];
}

/** Room of a bar that is only a repeat sign. Points at normal size. */
const SIGN = 36;

/** Room a chord symbol needs besides its own width, so that two never touch. Points at normal size. */
const CHORD_GAP = 5;

/** Room every chord needs at least: a fret diagram's where the part has them. */
function leastRoom(part: Part, sheet: Sheet): number {
  const diagrams = printedMeasures(part).some(({ measure }) =>
    measure.voicings.some(({ voicing }) => voicing.frets),
  );
  return diagrams ? (DIAGRAM.width + DIAGRAM.label) * sheet.size : 0;
}

/** Least width of a bar: its symbols side by side, or its notes. */
function leastWidth(measure: PartMeasure, sheet: Sheet, least: number): number {
  const widthOf = (harmony: Harmony, look: 'strong' | 'light'): number =>
    Math.max(least, setChord(harmony, sheet.style, scaledLook(LOOKS[look], sheet.size)).width) +
    CHORD_GAP * sheet.size;
  const sum = (widths: readonly number[]): number =>
    widths.reduce((total, each) => total + each, 0);
  const above = measure.solo ?? measure.band;
  const strong = sum(above.map(({ harmony }) => widthOf(harmony, 'strong')));
  const light = measure.solo
    ? sum(measure.band.map(({ harmony }) => widthOf(harmony, 'light')))
    : 0;
  const notes = sum(
    measure.events.map(
      (event) => (event.kind === 'note' ? 15 : event.length < 960 ? 13 : 17) * sheet.size,
    ),
  );
  return Math.max(strong, light, notes) + 12 * sheet.size;
}

/** Width of the words over a strip, with some air. */
function headingWidth(part: Part, bar: PrintedMeasure, sheet: Sheet): number {
  return (
    setText('bold', WORDS.heading * sheet.size, headingOf(part, bar) ?? '').width + 6 * sheet.size
  );
}

/** Width of a line after clef, key and meter. */
function roomOf(part: Part, sheet: Sheet): number {
  const signature = part.reading.clef.sign === 'percussion' ? 0 : Math.abs(signatureOf(part.key));
  return sheet.right - sheet.left - (38 + 5.2 * signature) * sheet.size;
}

/** Ems of the engraver's own text face (Liberation Serif): letter C, which it prints itself, and small l. */
const EM = { C: 0.667, l: 0.278 };
/** Size of its chord text, hundredths of a millimetre. */
const ENGRAVED_TEXT = 405;

/**
 * The text that makes the engraver keep as much room for a chord as we shall fill. Both layers keep the
 * wider look's room, so that chords above and below one another stay on one line down the page.
 */
function roomText(sheet: Sheet, least: number): (harmony: Harmony) => string {
  const look = scaledLook(LOOKS.strong, sheet.size);
  return (harmony) => {
    const width = Math.max(least, setChord(harmony, sheet.style, look).width);
    const units = (((width + CHORD_GAP * sheet.size) / MM) * 100) / sheet.staffScale;
    const letters = (units / ENGRAVED_TEXT - EM.C) / EM.l;
    return 'l'.repeat(Math.max(1, Math.ceil(letters)));
  };
}

/**
 * Empty bars after lines of few bars, so that they are not drawn out over the whole width, none where their
 * symbols need it; and one between strips that share a line.
 *
 * @param most bars to a full line, where most of them are repeat signs
 */
function paddingOf(
  printed: readonly PrintedMeasure[],
  starts: ReadonlySet<number>,
  widths: readonly number[],
  room: number,
  most: number | undefined,
): ReadonlyMap<number, number | 'gap'> {
  const padding = new Map<number, number | 'gap'>();
  const ordered = [...starts].sort((a, b) => a - b);
  ordered.forEach((start, index) => {
    const end = ordered[index + 1] ?? widths.length;
    const needed = widths.slice(start, end).reduce((sum, width) => sum + width, 0);
    const few = most ?? 3;
    const count = few - (end - start);
    if (count > 0 && needed < (room * (end - start)) / few) padding.set(end - 1, count);
    for (let at = start + 1; at < end; at++)
      if (printed[at]?.place === 'strip' && printed[at]?.position === 0) padding.set(at - 1, 'gap');
  });
  return padding;
}

/** Lines with room for the clef's tail where a letter or a heading stands below it. */
function clearOfClefs(systems: readonly SetSystem[]): readonly SetSystem[] {
  return systems.map((system, at) => {
    const room = systems[at + 1]?.corner ? system.tail : 0;
    return { ...system, height: system.height + room };
  });
}

/** Puts heads, lines and feet on pages. */
function pagesOf(
  part: Part,
  sheet: Sheet,
  systems: readonly SetSystem[],
): Pick<Laid, 'pages' | 'overfull' | 'cost'> {
  const head = setHead(part, sheet);
  const running = setRunningHead(part, sheet);
  const foot = 16 * sheet.size;
  const floor = sheet.height - sheet.margin - foot;
  const room = {
    first: floor - sheet.margin - head.height,
    later: floor - sheet.margin - running.height,
    gap: 13 * sheet.size,
    tightGap: sheet.leastAir,
    wideGap: 26 * sheet.size,
  };
  const { pages: plan, cost } = paginate(systems, room);
  const less = room.first + Math.max(0, plan.length - 2) * room.later;
  const pages = plan.map((pagePlan, index) => {
    const top = index === 0 ? head : running;
    const items: Item[] = top.items.map((item) => moveItem(item, 0, sheet.margin));
    const marks: { label: string; y: number }[] = [];
    for (const { system, y } of pagePlan) {
      const offset = sheet.margin + top.height + y;
      items.push(...system.items.map((item) => moveItem(item, 0, offset)));
      marks.push(...system.marks.map((mark) => ({ label: mark.label, y: mark.y + offset })));
    }
    items.push(...setFoot(part, sheet, index + 1, plan.length, sheet.height - sheet.margin + 1));
    return { width: sheet.width, height: sheet.height, items, marks };
  });
  return { pages, overfull: leastHeight(systems, room) / less, cost };
}
