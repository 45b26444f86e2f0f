import { symbolOf } from '../chord/format.ts';
import type { Harmony } from '../chord/model.ts';
import { keyName } from '../pitch/key.ts';
import { pitchName } from '../pitch/spelled.ts';
import {
  barTicks,
  beatTicks,
  type Meter,
  meterName,
  TICKS_PER_QUARTER,
  type Ticks,
} from '../time/meter.ts';
import { beatsText } from './beats.ts';
import { lengthText } from './lengths.ts';
import type { FormMark, HarmonyEvent, MelodyEvent, Section, Tune, WrittenBar } from './model.ts';
import { type PageBar, pageOf } from './page.ts';
import { jumpName } from './route.ts';

const BARS_A_LINE = 4;

const MARK_WORDS: Readonly<Record<FormMark, string>> = {
  segno: 'Segno',
  coda: 'Coda',
  'to-coda': 'To Coda',
  fine: 'Fine',
};

/**
 * Writes a tune as text that {@link readTune} reads back to the same tune: head lines, then each section
 * with four bars to the line and its melody below. A melody of more than one voice is cut to one: a note
 * ends where the next begins.
 */
export function writeTune(tune: Tune): string {
  const lines = headLines(tune);
  const page = pageOf(tune);
  const harmony = harmonyTexts(tune, page);
  tune.sections.forEach((section, index) => {
    lines.push('');
    if (section.label !== '' || index > 0) lines.push(`[${plain(section.label, /[[\]|,\r\n]/gu)}]`);
    const bars = page.filter((bar) => bar.section === index);
    lines.push(...barLines(bars, harmony, tune.pickup > 0));
    lines.push(...melodyLines(section));
  });
  return `${lines.join('\n')}\n`;
}

function headLines(tune: Tune): string[] {
  const lines = [`title: ${oneLine(tune.title)}`];
  if (tune.credit !== null) lines.push(`credit: ${oneLine(tune.credit)}`);
  if (tune.key) lines.push(`key: ${keyName(tune.key)}`);
  lines.push(`meter: ${meterName(tune.meter)}`);
  if (tune.tempo !== null) lines.push(`tempo: ${tune.tempo}`);
  if (tune.feel !== null) lines.push(`feel: ${oneLine(tune.feel)}`);
  if (tune.pickup > 0) lines.push(`pickup: ${beatsText(tune.pickup, beatTicks(tune.meter))}`);
  if (tune.form) {
    const labels = tune.form.map((label) => plain(label, /[[\]|,\r\n]/gu));
    lines.push(`form: ${labels.join(labels.some((label) => /\s/u.test(label)) ? ', ' : ' ')}`);
  }
  return lines;
}

function oneLine(text: string): string {
  return plain(text, /[\p{Cc}\r\n]/gu);
}

function plain(text: string, unwanted: RegExp): string {
  return text.replace(unwanted, ' ').trim();
}

/** What each bar of the page says about its harmony; `%` where it says the same as the bar before. */
function harmonyTexts(tune: Tune, page: readonly PageBar[]): string[] {
  let sounding: Harmony | null = null;
  let before: { readonly events: readonly HarmonyEvent[]; readonly length: Ticks } | null = null;
  return page.map(({ bar, meter, writtenBar, page: index }) => {
    const length = index === 0 && tune.pickup > 0 ? tune.pickup : bar.length;
    const isSame =
      before !== null && before.length === length && sameEvents(before.events, bar.harmony);
    const text =
      isSame && isPlainInside(bar, writtenBar) ? '%' : eventsText(bar.harmony, length, meter);
    const full: readonly HarmonyEvent[] =
      bar.harmony.length > 0 && bar.harmony[0]?.at !== 0 && sounding
        ? [{ at: 0, harmony: sounding }, ...bar.harmony]
        : bar.harmony;
    before = { events: full, length };
    sounding = bar.harmony[bar.harmony.length - 1]?.harmony ?? sounding;
    return text;
  });
}

/** Players want the chord itself at the start of a section, of a line, of a repeat and of an ending. */
function isPlainInside(bar: WrittenBar, writtenBar: number): boolean {
  return (
    bar.harmony.length > 0 &&
    writtenBar % BARS_A_LINE !== 0 &&
    !bar.repeatStart &&
    bar.endings.length === 0 &&
    bar.meter === null
  );
}

function sameEvents(a: readonly HarmonyEvent[], b: readonly HarmonyEvent[]): boolean {
  return (
    a.length === b.length &&
    a.every(
      (event, i) =>
        event.at === b[i]?.at &&
        symbolOf(event.harmony) === symbolOf(b[i]?.harmony ?? event.harmony),
    )
  );
}

/** The shortest of: one chord, chords sharing the bar, a token a beat, and chords with their beats. */
function eventsText(events: readonly HarmonyEvent[], length: Ticks, meter: Meter): string {
  if (events.length === 0) return '';
  const beat = beatTicks(meter);
  const share = length / events.length;
  const isEven = events.every(({ at }, i) => at === i * share);
  if (isEven && (events.length === 1 || share % beat === 0)) {
    return events.map(({ harmony }) => symbolOf(harmony)).join(' ');
  }
  const unit = (TICKS_PER_QUARTER * 4) / meter.unit;
  const step = [beat, unit].find(
    (size) => length % size === 0 && events.every(({ at }) => at % size === 0),
  );
  return step === undefined ? byBeat(events, beat) : byStep(events, length / step, step);
}

function byStep(events: readonly HarmonyEvent[], count: number, step: Ticks): string {
  return Array.from({ length: count }, (_, i) => {
    const event = events.find(({ at }) => at === i * step);
    return event ? symbolOf(event.harmony) : '/';
  }).join(' ');
}

function byBeat(events: readonly HarmonyEvent[], beat: Ticks): string {
  return events
    .map(({ at, harmony }) => `${symbolOf(harmony)}@${beatsText(at + beat, beat, '+')}`)
    .join(' ');
}

function barLines(
  bars: readonly PageBar[],
  harmony: readonly string[],
  hasPickup: boolean,
): string[] {
  const lines: string[] = [];
  for (let from = 0; from < bars.length; from += BARS_A_LINE) {
    lines.push(barLine(bars.slice(from, from + BARS_A_LINE), harmony, hasPickup));
  }
  return lines;
}

function barLine(bars: readonly PageBar[], harmony: readonly string[], hasPickup: boolean): string {
  let line = bars[0]?.bar.repeatStart ? '|:' : '|';
  bars.forEach((bar, i) => {
    const own = barText(bar, harmony[bar.page] ?? '', bar.page === 0 && hasPickup);
    const next = bars[i + 1]?.bar.repeatStart ?? false;
    // `:| |:` is one bar line: an empty bar between two repeats says how long it is.
    const isHidden = own === '' && next && (bars[i - 1]?.bar.repeatEnd ?? 0) > 0;
    const text = isHidden ? `(${lengthInBeats(bar.bar.length, bar.meter)})` : own;
    line += `${text === '' ? '' : ` ${text}`} ${barlineText(bar.bar.repeatEnd, next, i === bars.length - 1)}`;
  });
  return line;
}

/** After a count the bar line is said again, so that an empty bar after it is seen. */
function barlineText(repeatEnd: number, repeatStart: boolean, isLast: boolean): string {
  const opening = repeatStart ? ':' : '';
  if (repeatEnd <= 2) return `${repeatEnd > 0 ? ':' : ''}|${opening}`;
  return `:|x${repeatEnd}${isLast ? '' : ` |${opening}`}`;
}

function barText({ bar, meter }: PageBar, harmony: string, isPickup: boolean): string {
  const isShort = bar.length !== barTicks(meter);
  const marks = (wanted: readonly FormMark[]) =>
    wanted.filter((mark) => bar.marks.includes(mark)).map((mark) => MARK_WORDS[mark]);
  return [
    bar.endings.length > 0 ? `${bar.endings.join(',')}.` : '',
    bar.meter ? `(${meterName(bar.meter)})` : '',
    isShort && !isPickup ? `(${lengthInBeats(bar.length, meter)})` : '',
    ...marks(['segno', 'coda']),
    harmony,
    ...marks(['to-coda', 'fine']),
    bar.jump ? jumpName(bar.jump) : '',
  ]
    .filter((part) => part !== '')
    .join(' ');
}

function lengthInBeats(length: Ticks, meter: Meter): string {
  const beats = beatsText(length, beatTicks(meter));
  return beats === '1' ? '1 beat' : `${beats} beats`;
}

/** A stretch of one bar of melody: a note, or a part of it, or a rest. */
interface Piece {
  readonly length: Ticks;
  readonly name: string;
}

function melodyLines(section: Section): string[] {
  const notes = notesOf(section);
  if (notes.length === 0) return [];
  const bars = piecesOf(section, notes);
  while (bars.length > 0 && bars[bars.length - 1]?.length === 0) bars.pop();
  const lines: string[] = [];
  for (let from = 0; from < bars.length; from += BARS_A_LINE) {
    lines.push(`melody: ${melodyLine(bars.slice(from, from + BARS_A_LINE))}`);
  }
  return lines;
}

/** Notes from the start of the section, each ending by the time the next begins. */
function notesOf(section: Section): MelodyEvent[] {
  let start = 0;
  const notes: MelodyEvent[] = [];
  for (const bar of section.bars) {
    for (const note of bar.melody) notes.push({ ...note, at: start + note.at });
    start += bar.length;
  }
  return notes.map((note, i) => {
    const next = notes[i + 1]?.at ?? Number.POSITIVE_INFINITY;
    return { ...note, length: Math.min(note.length, next - note.at) };
  });
}

/** The bars of the melody; one more at the end holds what rings past the section. */
function piecesOf(section: Section, notes: readonly MelodyEvent[]): Piece[][] {
  const bars: Piece[][] = [];
  let start = 0;
  for (const { length } of section.bars) {
    bars.push(barPieces(notes, start, start + length));
    start += length;
  }
  const last = notes[notes.length - 1];
  const over = last ? last.at + last.length - start : 0;
  if (last && over > 0) bars.push([{ length: over, name: pitchName(last.pitch) }]);
  return bars;
}

function barPieces(notes: readonly MelodyEvent[], start: Ticks, end: Ticks): Piece[] {
  const pieces: Piece[] = [];
  let at = start;
  for (const note of notes) {
    const stop = note.at + note.length;
    if (note.at >= end || stop <= start) continue;
    const from = Math.max(note.at, start);
    if (from > at) pieces.push({ length: from - at, name: 'rest' });
    const to = Math.min(stop, end);
    pieces.push({ length: to - from, name: `${pitchName(note.pitch)}${stop > end ? '~' : ''}` });
    at = to;
  }
  if (pieces.length > 0 && at < end) pieces.push({ length: end - at, name: 'rest' });
  return pieces;
}

/** A length is said where it changes, and anew on every line. */
function melodyLine(bars: readonly (readonly Piece[])[]): string {
  let length = '';
  const texts = bars.map((pieces) => {
    const words = pieces.flatMap((piece) => {
      const text = lengthText(piece.length);
      const isNew = text !== length;
      length = text;
      return isNew ? [text, piece.name] : [piece.name];
    });
    return words.length === 0 ? '|' : `| ${words.join(' ')}`;
  });
  return `${texts.join(' ')} |`;
}
