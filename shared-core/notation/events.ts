import type { PartEvent, PartMeasure } from '../parts/model.ts';
import { signatureOf } from '../pitch/key.ts';
import {
  alterOf,
  type Letter,
  letterOf,
  midiOf,
  type Pitch,
  type Spelled,
  spelled,
  staffStep,
} from '../pitch/spelled.ts';
import { beatTicks, isCompound, type Ticks } from '../time/meter.ts';
import type { MeasureContext } from './context.ts';
import { type NoteValue, noteValues } from './values.ts';
import { element, textElement } from './xml.ts';

/** A written note, rest or slash with its place, ready to be put between harmonies. */
export interface StaffNote {
  readonly at: Ticks;
  readonly length: Ticks;
  readonly xml: string;
}

/** One printable symbol: an event, or a part of one that must be tied. */
interface Symbol {
  readonly event: PartEvent;
  readonly at: Ticks;
  readonly value: NoteValue;
  /** Tied from the symbol before, to the symbol after. */
  readonly tiedFrom: boolean;
  readonly tiedTo: boolean;
  readonly wholeBarRest: boolean;
}

/**
 * Writes the events of a bar in order. Element ids are `e<bar>-<number>`, on a lower staff
 * `f<bar>-<number>`.
 */
export function eventsXml(
  context: MeasureContext,
  whole: PartMeasure,
  ordinal: number,
  staff: 1 | 2,
): readonly StaffNote[] {
  const measure = context.part.reading.staves === 2 ? onStaff(whole, staff) : whole;
  const symbols = symbolsOf(measure, tiedInto(context, ordinal));
  const beams = beamsOf(symbols, measure);
  const tuplets = tupletsOf(symbols);
  const accidentals = new Map<number, number>();
  return symbols.map((symbol, index) => ({
    at: symbol.at,
    length: symbol.value.ticks,
    xml: symbolXml(context, symbol, {
      id: `${staff === 1 ? 'e' : 'f'}${ordinal}-${index}`,
      staff,
      beams: beams[index] ?? [],
      tuplet: tuplets[index] ?? null,
      accidentals,
    }),
  }));
}

/** Lowest note of the upper of two staves: middle C. */
const UPPER = 60;

/** The part of a bar that stands on one of two staves; slashes and hits stand on the upper one. */
function onStaff(measure: PartMeasure, staff: 1 | 2): PartMeasure {
  const events = measure.events.map((event): PartEvent => {
    const rest: PartEvent = { kind: 'rest', at: event.at, length: event.length };
    if (event.kind !== 'note') return staff === 1 ? event : rest;
    const pitches = event.pitches.filter((pitch) => midiOf(pitch) >= UPPER === (staff === 1));
    return pitches.length > 0 ? { ...event, pitches } : rest;
  });
  const silent = events.every((event) => event.kind === 'rest');
  return silent
    ? { ...measure, events: [{ kind: 'rest', at: 0, length: measure.length }] }
    : { ...measure, events };
}

/** Whether the bar before ends in a note tied over the bar line. */
function tiedInto(context: MeasureContext, ordinal: number): boolean {
  const before = context.printed[ordinal - 1];
  const last = before?.measure.events.at(-1);
  return last !== undefined && 'tied' in last && last.tied;
}

function symbolsOf(measure: PartMeasure, tiedIn: boolean): Symbol[] {
  const symbols: Symbol[] = [];
  let tied = tiedIn;
  for (const event of measure.events) {
    // A bar repeated is a rest to be drawn over; see `measureXml`.
    const whole =
      event.kind === 'simile' ||
      (event.kind === 'rest' && event.at === 0 && event.length === measure.length);
    const values: readonly NoteValue[] = whole
      ? [{ ticks: event.length, type: 'whole', dots: 0, triplet: false }]
      : noteValues(event.at, event.length, measure.meter);
    const sounding = event.kind === 'note' || event.kind === 'hit';
    let at = event.at;
    values.forEach((value, index) => {
      const last = index === values.length - 1;
      const tiedTo = sounding && (!last || event.tied);
      symbols.push({ event, at, value, tiedFrom: sounding && tied, tiedTo, wholeBarRest: whole });
      tied = tiedTo;
      at += value.ticks;
    });
  }
  return symbols;
}

/** Beam levels of a flagged value: 1 for eighths, 2 for sixteenths. */
function flagsOf(value: NoteValue): number {
  return { whole: 0, half: 0, quarter: 0, eighth: 1, '16th': 2, '32nd': 3, '64th': 4 }[value.type];
}

/**
 * Groups flagged notes under beams: by the beat; in four-four plain eighths by the half bar.
 * Common practice, no source.
 */
function beamsOf(symbols: readonly Symbol[], measure: PartMeasure): string[][] {
  const beat = beatTicks(measure.meter);
  const flagged = (symbol: Symbol | undefined): boolean =>
    symbol !== undefined &&
    (symbol.event.kind === 'note' || symbol.event.kind === 'hit') &&
    flagsOf(symbol.value) > 0;
  const wide =
    measure.meter.count === 4 && !isCompound(measure.meter) && measure.length === beat * 4;
  const groupOf = (symbol: Symbol): number => {
    const half = Math.floor(symbol.at / (beat * 2));
    const inHalf = symbols.filter((other) => Math.floor(other.at / (beat * 2)) === half);
    const plain = inHalf.every((other) => flagged(other) && other.value.type === 'eighth');
    return wide && plain ? half * 2 : Math.floor(symbol.at / beat);
  };
  return symbols.map((symbol, index) => {
    if (!flagged(symbol)) return [];
    const joins = (other: Symbol | undefined, level: number): boolean =>
      other !== undefined &&
      flagged(other) &&
      groupOf(other) === groupOf(symbol) &&
      flagsOf(other.value) >= level;
    const levels = Array.from({ length: flagsOf(symbol.value) }, (_, at) => at + 1);
    const previous = symbols[index - 1];
    const next = symbols[index + 1];
    if (!joins(previous, 1) && !joins(next, 1)) return [];
    return levels.map((level) => {
      const left = joins(previous, level);
      const right = joins(next, level);
      if (left && right) return 'continue';
      if (right) return 'begin';
      if (left) return 'end';
      return joins(previous, 1) ? 'backward hook' : 'forward hook';
    });
  });
}

/** Where triplet groups start and stop: a group is full when it fills whole half beats. */
function tupletsOf(symbols: readonly Symbol[]): ('start' | 'stop' | null)[] {
  const marks: ('start' | 'stop' | null)[] = symbols.map(() => null);
  let start = -1;
  let sum = 0;
  const close = (last: number): void => {
    // A lone triplet value makes no group.
    if (start >= 0) marks[start] = last > start ? 'start' : null;
    if (start >= 0 && last > start) marks[last] = 'stop';
    start = -1;
    sum = 0;
  };
  symbols.forEach((symbol, index) => {
    if (!symbol.value.triplet) {
      close(index - 1);
      return;
    }
    if (start < 0) start = index;
    sum += symbol.value.ticks;
    if (sum % 480 === 0) close(index);
  });
  close(symbols.length - 1);
  return marks;
}

interface SymbolMarks {
  readonly id: string;
  readonly staff: 1 | 2;
  readonly beams: readonly string[];
  readonly tuplet: 'start' | 'stop' | null;
  /** Accidentals already given in this bar, by staff step. */
  readonly accidentals: Map<number, number>;
}

function symbolXml(context: MeasureContext, symbol: Symbol, marks: SymbolMarks): string {
  const { event } = symbol;
  if (event.kind !== 'note') return headXml(context, symbol, marks, null, false);
  return event.pitches
    .map((pitch, index) => headXml(context, symbol, marks, pitch, index > 0))
    .join('');
}

/** One `<note>`: a pitch of a note event, a rest, or a slash. */
function headXml(
  context: MeasureContext,
  symbol: Symbol,
  marks: SymbolMarks,
  pitch: Pitch | null,
  inChord: boolean,
): string {
  const { event, value } = symbol;
  const slash = event.kind === 'slash' || event.kind === 'hit';
  const tie = (type: string): string => element('tie', { type });
  return element(
    'note',
    { id: inChord ? undefined : marks.id },
    inChord ? element('chord') : '',
    soundXml(context, symbol, pitch),
    textElement('duration', value.ticks),
    symbol.tiedFrom ? tie('stop') : '',
    symbol.tiedTo ? tie('start') : '',
    textElement('voice', marks.staff === 1 ? 1 : 5),
    symbol.wholeBarRest ? '' : textElement('type', value.type, { size: cueSize(event) }),
    value.dots === 1 ? element('dot') : '',
    pitch ? accidentalXml(context, pitch, symbol.tiedFrom, marks.accidentals) : '',
    value.triplet ? tripletXml() : '',
    event.kind === 'slash' ? textElement('stem', 'none') : '',
    slash ? textElement('notehead', 'slash') : '',
    context.part.reading.staves === 2 ? textElement('staff', marks.staff) : '',
    ...(inChord
      ? []
      : marks.beams.map((beam, at) => textElement('beam', beam, { number: at + 1 }))),
    notationsXml(symbol, marks, inChord),
  );
}

/** Guide tones are printed small. */
function cueSize(event: PartEvent): string | undefined {
  return event.kind === 'note' && event.weight === 'line' ? 'cue' : undefined;
}

function soundXml(context: MeasureContext, symbol: Symbol, pitch: Pitch | null): string {
  if (symbol.event.kind === 'rest' || symbol.event.kind === 'simile')
    return element('rest', { measure: symbol.wholeBarRest ? 'yes' : undefined });
  const shown = pitch ?? middleLine(context);
  const alter = alterOf(shown.pc);
  if (pitch === null && context.mode === 'exchange') {
    return element(
      'unpitched',
      {},
      textElement('display-step', letterOf(shown.pc)),
      textElement('display-octave', shown.octave),
    );
  }
  return element(
    'pitch',
    {},
    textElement('step', letterOf(shown.pc)),
    alter === 0 ? '' : textElement('alter', alter),
    textElement('octave', shown.octave),
  );
}

/** The pitch on the middle line of the clef: where slashes stand. */
function middleLine(context: MeasureContext): Pitch {
  const { sign, line, octaveChange } = context.part.reading.clef;
  const clefStep = { G: 4 * 7 + 4, F: 3 * 7 + 3, C: 4 * 7, percussion: 4 * 7 + 4 }[sign];
  const onLine = sign === 'percussion' ? 2 : line;
  const step = clefStep + (3 - onLine) * 2 + (sign === 'percussion' ? 0 : octaveChange * 7);
  const letter = ['C', 'D', 'E', 'F', 'G', 'A', 'B'][step % 7] as Letter;
  return { pc: spelled(letter), octave: Math.floor(step / 7) };
}

/** Alteration the key signature gives a letter. */
export function keyAlter(signature: number, letter: Letter): number {
  const place: Spelled = spelled(letter);
  if (signature > 0) return place - -1 < signature ? 1 : 0;
  return 5 - place < -signature ? -1 : 0;
}

const ACCIDENTALS: Readonly<Record<string, string>> = {
  '-2': 'flat-flat',
  '-1': 'flat',
  '0': 'natural',
  '1': 'sharp',
  '2': 'double-sharp',
};

/** The accidental a note needs where it stands: against the key, and against what the bar already altered. */
function accidentalXml(
  context: MeasureContext,
  pitch: Pitch,
  tiedFrom: boolean,
  given: Map<number, number>,
): string {
  if (tiedFrom) return '';
  const step = staffStep(pitch);
  const alter = alterOf(pitch.pc);
  const current = given.get(step) ?? keyAlter(signatureOf(context.part.key), letterOf(pitch.pc));
  if (current === alter) return '';
  given.set(step, alter);
  const name = ACCIDENTALS[String(alter)];
  if (!name) throw new Error(`No accidental for ${alter} semitones`);
  return textElement('accidental', name);
}

function tripletXml(): string {
  return element(
    'time-modification',
    {},
    textElement('actual-notes', 3),
    textElement('normal-notes', 2),
  );
}

function notationsXml(symbol: Symbol, marks: SymbolMarks, inChord: boolean): string {
  const tied = (type: string): string => element('tied', { type });
  const inner = [
    symbol.tiedFrom ? tied('stop') : '',
    symbol.tiedTo ? tied('start') : '',
    marks.tuplet && !inChord
      ? element('tuplet', { type: marks.tuplet, bracket: marks.beams.length > 0 ? 'no' : 'yes' })
      : '',
  ].join('');
  return inner === '' ? '' : element('notations', {}, inner);
}
