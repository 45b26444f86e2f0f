import type { Interval } from '../../../shared-core/pitch/interval.ts';
import {
  barTicks,
  beatTicks,
  type Meter,
  parseMeter,
  TICKS_PER_QUARTER,
  type Ticks,
} from '../../../shared-core/time/meter.ts';
import type { HarmonyEvent } from '../../../shared-core/tune/model.ts';
import { type DraftBar, draftBar, type Warnings } from '../draft.ts';
import { readBarline, readDirection, readSound } from './directions.ts';
import { readHarmony } from './harmony.ts';
import { readNote } from './notes.ts';
import { advance, type Measure, type Reader, ticksAt } from './reader.ts';
import { AT_PITCH, transpositionOf } from './transposition.ts';
import { child, childrenOf, numberOf, textOf, type Xml } from './tree.ts';

/** What one part of a score says, bar by bar, at concert pitch. */
export interface PartReading {
  readonly bars: DraftBar[];
  readonly harmonies: number;
  readonly pitchedNotes: number;
  readonly fifths: number | null;
  readonly mode: string;
  readonly keyChanges: number;
  /** Quarter notes a minute. */
  readonly quarters: number | null;
  /** First words above the first bar that are no sign of the form. */
  readonly words: string | null;
  readonly toConcert: Interval;
}

/** Sharps or flats of the fullest key signature taken: C flat minor has ten, and nobody writes a fuller one. */
const MOST_ACCIDENTALS = 12;

/** Reads all measures of one part. */
export function readPart(measures: readonly Xml[], warnings: Warnings): PartReading {
  const reader: Reader = {
    warnings,
    bars: [],
    meter: { count: 4, unit: 4 },
    divisions: 1,
    toConcert: AT_PITCH,
    harmonies: 0,
    pitchedNotes: 0,
    fifths: null,
    mode: '',
    keyChanges: 0,
    quarters: null,
    words: null,
    voice: null,
    graces: 0,
    simile: 0,
    tied: new Map(),
  };
  measures.forEach((measure, i) => {
    readMeasure(reader, measure, i, measures.length);
  });
  spreadLateHarmonies(reader.bars);
  if (reader.graces > 0) {
    const count = reader.graces === 1 ? 'One grace note' : `${reader.graces} grace notes`;
    warnings.add(`${count} left out.`);
  }
  return reader;
}

function readMeasure(reader: Reader, element: Xml, index: number, count: number): void {
  // Attributes come first as a rule, and the bar needs its meter.
  for (const attributes of childrenOf(element, 'attributes')) readMeter(reader, attributes);
  const bar = draftBar(reader.meter, 0);
  const measure: Measure = {
    bar,
    number: index + 1,
    cursor: 0,
    furthest: 0,
    chordStart: 0,
    harmonySigns: 0,
  };
  for (const item of element.children) readItem(reader, measure, item);
  bar.length = lengthOf(reader, measure, element, index, count);
  reader.bars.push(bar);
  if (reader.simile > 0 && measure.harmonySigns === 0) repeatBefore(reader, bar);
}

function readMeter(reader: Reader, attributes: Xml): void {
  const time = child(attributes, 'time');
  if (!time || child(time, 'senza-misura')) return;
  const units = childrenOf(time, 'beat-type').map((unit) => Number(unit.text.trim()));
  const counts = childrenOf(time, 'beats').map((beats) =>
    beats.text.split('+').reduce((sum, part) => sum + Number(part.trim()), 0),
  );
  const unit = Math.max(...units);
  const total = counts.reduce((sum, beats, i) => sum + (beats * unit) / (units[i] ?? unit), 0);
  const meter = parseMeter(`${total}/${unit}`);
  if (meter) reader.meter = meter;
  else reader.warnings.add(`The meter ${writtenMeter(time)} is not one that can be used.`);
}

/** A meter as it stands in the file, whatever that is. */
function writtenMeter(time: Xml): string {
  const texts = (name: string): string =>
    childrenOf(time, name)
      .map((part) => part.text.trim().slice(0, 20))
      .join('+');
  return `${texts('beats')}/${texts('beat-type')}`;
}

/**
 * The length of a bar. What is written counts where a bar may be short by right: a pickup, a bar called
 * implicit, the last one, one at a repeat sign. Elsewhere a bar that is not filled lasts as its meter says.
 */
function lengthOf(
  reader: Reader,
  measure: Measure,
  element: Xml,
  index: number,
  count: number,
): Ticks {
  const whole = barTicks(reader.meter);
  const filled = ticksAt(reader, measure.furthest);
  if (filled === 0 || filled === whole) return whole;
  if (filled > whole) return filled;
  const atSign = measure.bar.repeatStart || measure.bar.repeatEnd > 0;
  const byRight =
    index === 0 || index === count - 1 || atSign || element.attributes.implicit === 'yes';
  const afterShort = (reader.bars[index - 1]?.length ?? whole) < whole;
  return byRight || afterShort ? filled : whole;
}

function readItem(reader: Reader, measure: Measure, item: Xml): void {
  switch (item.name) {
    case 'attributes':
      readAttributes(reader, item);
      return;
    case 'note':
      readNote(reader, measure, item);
      return;
    case 'backup':
      measure.cursor = Math.max(0, measure.cursor - numberOf(item, 'duration', 0));
      return;
    case 'forward':
      advance(measure, numberOf(item, 'duration', 0));
      return;
    case 'harmony':
      readHarmonySign(reader, measure, item);
      return;
    case 'direction':
      readDirection(reader, measure, item);
      return;
    case 'barline':
      readBarline(measure, item);
      return;
    case 'sound':
      readSound(reader, measure, item);
      return;
    default:
  }
}

function readAttributes(reader: Reader, attributes: Xml): void {
  const divisions = numberOf(attributes, 'divisions', reader.divisions);
  if (divisions > 0) reader.divisions = divisions;
  const transpose = child(attributes, 'transpose');
  if (transpose) reader.toConcert = transpositionOf(transpose);
  const key = child(attributes, 'key');
  if (key && textOf(key, 'fifths') !== '') {
    const fifths = Math.round(numberOf(key, 'fifths', 0));
    if (Math.abs(fifths) > MOST_ACCIDENTALS) {
      reader.warnings.add(`A key signature of ${fifths} fifths is not one that can be used.`);
    } else if (reader.fifths === null) {
      reader.fifths = fifths;
      reader.mode = textOf(key, 'mode');
    } else if (reader.fifths !== fifths) {
      reader.keyChanges++;
    }
  }
  for (const style of childrenOf(attributes, 'measure-style')) {
    const simile = child(style, 'measure-repeat');
    if (!simile) continue;
    reader.simile =
      simile.attributes.type === 'stop'
        ? 0
        : Math.max(1, Math.round(Number(simile.text.trim()) || 1));
  }
}

/** A bar with a simile sign holds what the bar it repeats holds. */
function repeatBefore(reader: Reader, bar: DraftBar): void {
  const source = reader.bars[reader.bars.length - 1 - reader.simile];
  if (!source) return;
  for (const event of source.harmony) {
    if (event.at < bar.length) bar.harmony.push(event);
  }
}

function readHarmonySign(reader: Reader, measure: Measure, element: Xml): void {
  measure.harmonySigns++;
  if (element.attributes['print-object'] === 'no') return;
  const { harmony, trouble } = readHarmony(element, reader.toConcert);
  if (trouble !== null) {
    reader.warnings.add(`Bar ${measure.number}: ${trouble} is not known and was left out.`);
    return;
  }
  const place = measure.cursor + numberOf(element, 'offset', 0);
  const at = Math.max(0, ticksAt(reader, place));
  reader.harmonies++;
  measure.bar.harmony.push({ at, harmony });
}

/** A chord placed past the end of its bar belongs to the bar where it sounds. */
function spreadLateHarmonies(bars: readonly DraftBar[]): void {
  bars.forEach((bar, i) => {
    const late: HarmonyEvent[] = bar.harmony.filter((event) => event.at >= bar.length);
    if (late.length === 0) return;
    const kept = bar.harmony.filter((event) => event.at < bar.length);
    bar.harmony.splice(0, bar.harmony.length, ...kept);
    const next = bars[i + 1];
    for (const event of late) next?.harmony.unshift({ ...event, at: event.at - bar.length });
  });
}

/** Tempo in counted beats of the first meter. */
export function countedTempo(quarters: number | null, meter: Meter): number | null {
  if (quarters === null || !Number.isFinite(quarters)) return null;
  const beats = (quarters * TICKS_PER_QUARTER) / beatTicks(meter);
  const rounded =
    Math.abs(beats - Math.round(beats)) < 0.02 ? Math.round(beats) : Number(beats.toFixed(2));
  return rounded >= 20 && rounded <= 500 ? rounded : null;
}
