import { type Interval, transposePitch } from '../../../shared-core/pitch/interval.ts';
import { type Letter, midiOf, type Pitch, spelled } from '../../../shared-core/pitch/spelled.ts';
import {
  barTicks,
  beatTicks,
  type Meter,
  parseMeter,
  TICKS_PER_QUARTER,
  type Ticks,
} from '../../../shared-core/time/meter.ts';
import type { HarmonyEvent, MelodyEvent } from '../../../shared-core/tune/model.ts';
import { type DraftBar, draftBar, type Warnings } from '../draft.ts';
import { LIMITS } from '../limits.ts';
import { endingNumbers, putSign, signOf } from '../signs.ts';
import { readHarmony } from './harmony.ts';
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

interface Reader {
  readonly warnings: Warnings;
  readonly bars: DraftBar[];
  meter: Meter;
  divisions: number;
  toConcert: Interval;
  harmonies: number;
  pitchedNotes: number;
  fifths: number | null;
  mode: string;
  keyChanges: number;
  quarters: number | null;
  words: string | null;
  /** Voice that carries the melody on the first staff: the first one with notes. */
  voice: string | null;
  graces: number;
  /** Bars that a simile sign repeats, 0 for none. */
  simile: number;
  readonly tied: Map<number, { bar: DraftBar; index: number }>;
}

/** Sharps or flats of the fullest key signature taken: C flat minor has ten, and nobody writes a fuller one. */
const MOST_ACCIDENTALS = 12;

/** State within one measure; places in divisions of the quarter. */
interface Measure {
  readonly bar: DraftBar;
  readonly number: number;
  cursor: number;
  furthest: number;
  chordStart: number;
  harmonySigns: number;
}

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

/** Ticks of a place in divisions, to the nearest tick. */
function ticksAt(reader: Reader, place: number): Ticks {
  return Math.round((place * TICKS_PER_QUARTER) / reader.divisions);
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

function advance(measure: Measure, duration: number): void {
  measure.cursor += Math.max(0, duration);
  measure.furthest = Math.max(measure.furthest, measure.cursor);
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

function readNote(reader: Reader, measure: Measure, note: Xml): void {
  if (child(note, 'grace')) {
    reader.graces++;
    return;
  }
  const duration = numberOf(note, 'duration', 0);
  const isChord = child(note, 'chord') !== undefined;
  const start = isChord ? measure.chordStart : measure.cursor;
  if (!isChord) {
    measure.chordStart = measure.cursor;
    advance(measure, duration);
  }
  const pitch = pitchOf(note);
  if (!pitch || !isMelody(reader, note)) return;
  const at = ticksAt(reader, start);
  const sounding = transposePitch(pitch, reader.toConcert);
  addNote(reader, measure.bar, note, {
    at,
    length: ticksAt(reader, start + duration) - at,
    pitch: sounding,
  });
}

function addNote(reader: Reader, bar: DraftBar, note: Xml, event: MelodyEvent): void {
  const ties = childrenOf(note, 'tie').map((tie) => tie.attributes.type);
  const midi = midiOf(event.pitch);
  const waiting = reader.tied.get(midi);
  reader.tied.delete(midi);
  reader.pitchedNotes++;
  let place = waiting && ties.includes('stop') ? waiting : null;
  if (place) {
    const held = place.bar.notes[place.index] as MelodyEvent;
    place.bar.notes[place.index] = { ...held, length: held.length + event.length };
  } else {
    bar.notes.push(event);
    place = { bar, index: bar.notes.length - 1 };
  }
  if (ties.includes('start')) reader.tied.set(midi, place);
}

function pitchOf(note: Xml): Pitch | null {
  const pitch = child(note, 'pitch');
  const step = textOf(pitch, 'step').toUpperCase();
  const octave = numberOf(pitch, 'octave', Number.NaN);
  if (!/^[A-G]$/u.test(step) || !Number.isInteger(octave)) return null;
  const alter = Math.round(numberOf(pitch, 'alter', 0));
  if (Math.abs(alter) > 3 || octave < 0 || octave > 9) return null;
  return { pc: spelled(step as Letter, alter), octave };
}

/** Rhythm slashes and cue notes are no melody, nor are lower staves and second voices. */
function isMelody(reader: Reader, note: Xml): boolean {
  if (child(note, 'cue') || textOf(note, 'notehead').startsWith('slash')) return false;
  if ((textOf(note, 'staff') || '1') !== '1') return false;
  const voice = textOf(note, 'voice') || '1';
  reader.voice ??= voice;
  return voice === reader.voice;
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

function readDirection(reader: Reader, measure: Measure, direction: Xml): void {
  const types = childrenOf(direction, 'direction-type').flatMap((type) => type.children);
  const words = types
    .filter(({ name }) => name === 'words')
    .map(({ text }) => text.trim())
    .join(' ')
    .trim();
  const sound = child(direction, 'sound');
  const leaves = sound?.attributes.tocoda !== undefined || /^to$/iu.test(words);
  for (const type of types) {
    if (type.name === 'segno') measure.bar.marks.add('segno');
    if (type.name === 'coda') measure.bar.marks.add(leaves ? 'to-coda' : 'coda');
    if (type.name === 'rehearsal') measure.bar.label = type.text.trim();
    if (type.name === 'metronome') readMetronome(reader, type);
  }
  const sign = signOf(words);
  if (sign) putSign(measure.bar, sign);
  else if (measure.number === 1 && words !== '' && words.length <= 60) reader.words ??= words;
  if (sound) readSound(reader, measure, sound);
}

function readSound(reader: Reader, measure: Measure, sound: Xml): void {
  const { attributes } = sound;
  if (attributes.tempo !== undefined) reader.quarters ??= Number(attributes.tempo);
  if (attributes.dacapo === 'yes') putSign(measure.bar, { to: 'capo', al: 'end' });
  if (attributes.dalsegno !== undefined) putSign(measure.bar, { to: 'segno', al: 'end' });
  if (attributes.tocoda !== undefined) measure.bar.marks.add('to-coda');
  if (attributes.fine !== undefined) measure.bar.marks.add('fine');
  if (attributes.segno !== undefined) measure.bar.marks.add('segno');
  if (attributes.coda !== undefined && !measure.bar.marks.has('to-coda'))
    measure.bar.marks.add('coda');
}

const BEAT_UNITS: Readonly<Record<string, number>> = {
  whole: 4,
  half: 2,
  quarter: 1,
  eighth: 0.5,
  '16th': 0.25,
};

function readMetronome(reader: Reader, metronome: Xml): void {
  const unit = BEAT_UNITS[textOf(metronome, 'beat-unit')];
  const beats = numberOf(metronome, 'per-minute', Number.NaN);
  if (unit === undefined || !(beats > 0)) return;
  const dotted = child(metronome, 'beat-unit-dot') ? 1.5 : 1;
  reader.quarters ??= beats * unit * dotted;
}

function readBarline(measure: Measure, barline: Xml): void {
  const { bar } = measure;
  const repeat = child(barline, 'repeat');
  if (repeat?.attributes.direction === 'forward') bar.repeatStart = true;
  if (repeat?.attributes.direction === 'backward') {
    const times = Math.round(Number(repeat.attributes.times ?? 2));
    bar.repeatEnd = Number.isFinite(times) ? Math.min(Math.max(times, 2), LIMITS.passes) : 2;
  }
  const ending = child(barline, 'ending');
  if (ending?.attributes.type === 'start') {
    const numbers = endingNumbers(ending.attributes.number ?? '');
    bar.endings = numbers.length > 0 ? numbers : endingNumbers(ending.text);
  }
  if (child(barline, 'segno')) bar.marks.add('segno');
  if (child(barline, 'coda')) bar.marks.add('coda');
}

/** Tempo in counted beats of the first meter. */
export function countedTempo(quarters: number | null, meter: Meter): number | null {
  if (quarters === null || !Number.isFinite(quarters)) return null;
  const beats = (quarters * TICKS_PER_QUARTER) / beatTicks(meter);
  const rounded =
    Math.abs(beats - Math.round(beats)) < 0.02 ? Math.round(beats) : Number(beats.toFixed(2));
  return rounded >= 20 && rounded <= 500 ? rounded : null;
}
