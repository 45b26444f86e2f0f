import {
  midiOf,
  nameOf,
  type Pitch,
  parseSpelled,
  pitchName,
  type Spelled,
  staffStep,
  stepOf,
} from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import type { SectionDraft, TextPlace } from './bars.ts';
import { isLengthPrefix, isLengthWord, lengthOf, lengthText } from './lengths.ts';
import type { MelodyEvent, TuneError } from './model.ts';

/** Lowest and highest note read: the 88 keys and a little over (MIDI 12-120). */
export const MELODY_LOWEST = 12;
export const MELODY_HIGHEST = 120;

/** What a melody line holds, one after the other. */
type MelodyToken = TextPlace &
  (
    | { readonly kind: 'barline' }
    | { readonly kind: 'length'; readonly ticks: Ticks | null; readonly text: string }
    | { readonly kind: 'rest' }
    | {
        readonly kind: 'note';
        readonly pc: Spelled;
        readonly octave: number | null;
        readonly tied: boolean;
      }
    | { readonly kind: 'unknown'; readonly text: string }
  );

/** A melody line of a section: what stands after `melody:`. */
export interface MelodyLine extends TextPlace {
  readonly text: string;
}

/**
 * Cuts a melody line into tokens. Notes are capitals with their accidental and the octave number
 * (middle C is C4), `~` after a note ties it to the next; lengths are those of {@link lengthOf} and
 * stand before the notes they are for.
 */
export function melodyTokens(line: MelodyLine): MelodyToken[] {
  const words = [...line.text.matchAll(/:?\|+[:\]]?|[^\s|]+/gu)];
  const tokens: MelodyToken[] = [];
  for (let i = 0; i < words.length; i++) {
    const match = words[i] as RegExpExecArray;
    const place = { line: line.line, column: line.column + match.index };
    let text = match[0];
    if (isLengthWord(text)) {
      while (isLengthPrefix(lastWord(text)) && isLengthWord(words[i + 1]?.[0] ?? '')) {
        text += ` ${words[++i]?.[0] ?? ''}`;
      }
      tokens.push({ ...place, kind: 'length', ticks: lengthOf(text), text });
    } else {
      tokens.push({ ...place, ...wordOf(text) } as MelodyToken);
    }
  }
  return tokens;
}

function lastWord(text: string): string {
  return text.slice(text.lastIndexOf(' ') + 1);
}

function wordOf(text: string) {
  if (text.includes('|')) return { kind: 'barline' as const };
  if (/^r(?:est)?$/iu.test(text)) return { kind: 'rest' as const };
  const match = /^([A-G](?:#{0,2}|b{0,2}|x|[♭♯]{0,2}|𝄫|𝄪))(-?\d)?(~?)$/u.exec(text);
  const pc = match ? parseSpelled(match[1] ?? '') : null;
  if (!match || pc === null) return { kind: 'unknown' as const, text };
  const octave = match[2] === undefined ? null : Number(match[2]);
  return { kind: 'note' as const, pc, octave, tied: match[3] === '~' };
}

/** State of reading one section's melody. */
interface Reader {
  readonly section: SectionDraft;
  readonly errors: TuneError[];
  readonly events: MelodyEvent[][];
  bar: number;
  at: Ticks;
  length: Ticks;
  last: Pitch | null;
  /** The tied note that waits for its other half. */
  tied: { readonly bar: number; readonly index: number } | null;
  /** Whether the bar under way holds anything. */
  touched: boolean;
  start: TextPlace | null;
}

/**
 * Reads the melody lines of one section, bar for bar under its bars, and puts the notes into them. Bars
 * left over have no melody. After the last bar line one more bar may stand, with what is left of a note
 * that rings on past the section.
 */
export function readMelody(
  section: SectionDraft,
  lines: readonly MelodyLine[],
  errors: TuneError[],
): void {
  const reader: Reader = {
    section,
    errors,
    events: section.bars.map(() => []),
    bar: 0,
    at: 0,
    length: 960,
    last: null,
    tied: null,
    touched: false,
    start: null,
  };
  for (const line of lines) readLine(reader, line);
  const end = lines[lines.length - 1] ?? section.place;
  if (reader.tied) report(reader, end, { reason: 'tie' });
  section.bars.forEach((bar, i) => {
    section.bars[i] = { ...bar, melody: reader.events[i] ?? [] };
  });
}

function readLine(reader: Reader, line: MelodyLine): void {
  const tokens = melodyTokens(line);
  let opened = tokens[0]?.kind === 'barline';
  tokens.forEach((token, i) => {
    if (token.kind === 'barline') {
      if (i > 0 || !opened) closeBar(reader);
      opened = true;
      return;
    }
    reader.start ??= token;
    readToken(reader, token);
  });
  if (reader.touched) closeBar(reader);
}

function readToken(reader: Reader, token: Exclude<MelodyToken, { kind: 'barline' }>): void {
  switch (token.kind) {
    case 'length':
      if (token.ticks === null)
        report(reader, token, { reason: 'length', text: token.text.slice(0, 60) });
      else reader.length = token.ticks;
      return;
    case 'unknown':
      report(reader, token, { reason: 'unknown', text: token.text.slice(0, 60) });
      return;
    case 'rest':
      if (reader.tied) report(reader, token, { reason: 'tie' });
      reader.tied = null;
      reader.touched = true;
      reader.at += reader.length;
      return;
    case 'note':
      reader.touched = true;
      readNote(reader, token);
  }
}

function readNote(reader: Reader, token: Extract<MelodyToken, { kind: 'note' }>): void {
  const pitch = {
    pc: token.pc,
    octave: token.octave ?? nearestOctave(token.pc, reader.last),
  };
  if (midiOf(pitch) < MELODY_LOWEST || midiOf(pitch) > MELODY_HIGHEST) {
    report(reader, token, { reason: 'range', text: pitchName(pitch) });
    return;
  }
  reader.last = pitch;
  const waiting = reader.tied;
  const index = waiting ? join(reader, pitch, waiting, token) : append(reader, pitch, token);
  reader.at += reader.length;
  reader.tied = token.tied && index ? index : null;
}

/** Lengthens the note before the tie; a tie to another pitch is a mistake, and the note starts anew. */
function join(
  reader: Reader,
  pitch: Pitch,
  waiting: { readonly bar: number; readonly index: number },
  token: TextPlace,
) {
  const note = reader.events[waiting.bar]?.[waiting.index];
  if (!note || note.pitch.pc !== pitch.pc || note.pitch.octave !== pitch.octave) {
    report(reader, token, {
      reason: 'tie-pitch',
      text: pitchName(pitch),
      tied: note ? pitchName(note.pitch) : nameOf(pitch.pc),
    });
    return append(reader, pitch, token);
  }
  const notes = reader.events[waiting.bar] as MelodyEvent[];
  notes[waiting.index] = { ...note, length: note.length + reader.length };
  return waiting;
}

function append(reader: Reader, pitch: Pitch, token: TextPlace) {
  const notes = reader.events[reader.bar];
  if (!notes) {
    report(reader, token, { reason: 'bars', bars: reader.section.bars.length });
    return null;
  }
  notes.push({ at: reader.at, length: reader.length, pitch });
  return { bar: reader.bar, index: notes.length - 1 };
}

/** A note without octave number lies as near as can be to the one before it: a fourth at most. */
function nearestOctave(pc: Spelled, last: Pitch | null): number {
  if (!last) return 4;
  const middle = staffStep(last);
  return Math.round((middle - stepOf(pc)) / 7);
}

function closeBar(reader: Reader): void {
  const bar = reader.section.bars[reader.bar];
  if (bar && reader.touched && reader.at !== bar.length) {
    report(reader, reader.start ?? reader.section.place, {
      reason: reader.at > bar.length ? 'long' : 'short',
      length: lengthText(reader.at),
      bar: lengthText(bar.length),
    });
    keepInside(reader, bar.length);
  }
  reader.bar++;
  reader.at = 0;
  reader.touched = false;
  reader.start = null;
}

/** After a bar that is too full, notes that start past its end are left out. */
function keepInside(reader: Reader, length: Ticks): void {
  const notes = reader.events[reader.bar];
  if (!notes) return;
  const kept = notes.filter((note) => note.at < length);
  notes.splice(0, notes.length, ...kept);
  if (reader.tied?.bar === reader.bar && reader.tied.index >= kept.length) reader.tied = null;
}

function report(
  reader: Reader,
  at: TextPlace,
  data: Readonly<Record<string, string | number>>,
): void {
  reader.errors.push({
    code: 'tune/melody',
    place: {
      line: at.line,
      column: at.column,
      ...(reader.section.label ? { section: reader.section.label } : {}),
    },
    data: { ...data, melodyBar: reader.bar + 1 },
  });
}
