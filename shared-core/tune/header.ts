import { type Key, parseKey } from '../pitch/key.ts';
import { barTicks, beatTicks, type Meter, parseMeter, type Ticks } from '../time/meter.ts';
import { parseBeats, ticksOf } from './beats.ts';
import type { TuneError } from './model.ts';

/** Facts that stand at the head of a tune, each as `word: value`. */
export interface Header {
  title: string | null;
  credit: string | null;
  key: Key | null;
  meter: Meter;
  tempo: number | null;
  feel: string | null;
  /** As typed; its labels are known only after the sections are read. */
  form: { readonly text: string; readonly line: number; readonly column: number } | null;
  pickup: Ticks;
}

/** Words that may stand before the colon; `melody` belongs to a section, not to the head. */
export const HEADER_WORDS = [
  'title',
  'credit',
  'key',
  'meter',
  'tempo',
  'feel',
  'form',
  'pickup',
] as const;

/** One of {@link HEADER_WORDS}. */
type HeaderWord = (typeof HEADER_WORDS)[number];

/** Slowest and fastest tempo read, counted beats a minute. */
export const TEMPO_RANGE = { slowest: 20, fastest: 500 } as const;

/** A line of the form `word: value`. Columns count from 1. */
export interface HeaderLine {
  readonly word: string;
  readonly value: string;
  readonly line: number;
  /** Column of the word, and of the value. */
  readonly column: number;
  readonly valueColumn: number;
}

/** Reads `word: value`; null for any other line (a repeat sign after the colon is no header). */
export function headerLineOf(text: string, line: number): HeaderLine | null {
  const match = /^(\s*)([A-Za-z][A-Za-z -]{0,30}?)(\s*:)(?!\|)(\s*)(.*?)\s*$/u.exec(text);
  if (!match) return null;
  const before = (match[1] ?? '').length;
  return {
    word: (match[2] ?? '').toLowerCase(),
    // A tab is a space here, as it is where the value is written again.
    value: (match[5] ?? '').replace(/\p{Cc}/gu, ' ').trim(),
    line,
    column: before + 1,
    valueColumn: valueColumn(match),
  };
}

function valueColumn(match: RegExpExecArray): number {
  return [1, 2, 3, 4].reduce((sum, group) => sum + (match[group] ?? '').length, 1);
}

/**
 * Reads the head lines. What cannot be read keeps its default (4/4, no key, no tempo) and is reported.
 */
export function readHeader(lines: readonly HeaderLine[], errors: TuneError[]): Header {
  const header: Header = {
    title: null,
    credit: null,
    key: null,
    meter: { count: 4, unit: 4 },
    tempo: null,
    feel: null,
    form: null,
    pickup: 0,
  };
  const seen = new Set<string>();
  // The pickup is counted in beats of the meter, which may stand below it.
  const ordered = [...lines].sort(
    (a, b) => Number(a.word === 'pickup') - Number(b.word === 'pickup'),
  );
  for (const line of ordered) {
    if (!isHeaderWord(line.word)) {
      errors.push(headerError('tune/header-unknown', line, line.column, {}));
    } else if (seen.has(line.word)) {
      errors.push(headerError('tune/header-value', line, line.column, { reason: 'twice' }));
    } else {
      seen.add(line.word);
      const reason = readValue(header, line.word, line);
      if (reason) errors.push(headerError(reason.code, line, line.valueColumn, reason.data));
    }
  }
  return header;
}

function isHeaderWord(word: string): word is HeaderWord {
  return (HEADER_WORDS as readonly string[]).includes(word);
}

interface Reason {
  readonly code: 'tune/header-value' | 'tune/meter' | 'tune/pickup';
  readonly data: Readonly<Record<string, string | number>>;
}

function readValue(header: Header, word: HeaderWord, line: HeaderLine): Reason | null {
  const { value } = line;
  if (value === '') {
    return word === 'credit' || word === 'feel' || word === 'key' || word === 'tempo'
      ? null
      : { code: 'tune/header-value', data: { reason: 'empty' } };
  }
  switch (word) {
    case 'title':
    case 'credit':
    case 'feel':
      header[word] = value;
      return null;
    case 'form':
      header.form = { text: value, line: line.line, column: line.valueColumn };
      return null;
    case 'key':
      return readKey(header, value);
    case 'meter':
      return readMeter(header, value);
    case 'tempo':
      return readTempo(header, value);
    case 'pickup':
      return readPickup(header, value);
  }
}

function readKey(header: Header, value: string): Reason | null {
  header.key = parseKey(value);
  return header.key ? null : { code: 'tune/header-value', data: { reason: 'key' } };
}

function readMeter(header: Header, value: string): Reason | null {
  const meter = parseMeter(value);
  if (!meter) return { code: 'tune/meter', data: { meter: value } };
  header.meter = meter;
  return null;
}

function readTempo(header: Header, value: string): Reason | null {
  const match = /^(\d{1,3}(?:\.\d{1,3})?)\s*(?:bpm)?$/iu.exec(value);
  const tempo = Number(match?.[1] ?? 0);
  if (tempo < TEMPO_RANGE.slowest || tempo > TEMPO_RANGE.fastest) {
    return { code: 'tune/header-value', data: { reason: 'tempo', ...TEMPO_RANGE } };
  }
  header.tempo = tempo;
  return null;
}

function readPickup(header: Header, value: string): Reason | null {
  const beats = parseBeats(value.replace(/\s*beats?$/iu, ''));
  const ticks = beats && ticksOf(beats, beatTicks(header.meter));
  if (ticks === null || ticks >= barTicks(header.meter))
    return { code: 'tune/pickup', data: { reason: 'value' } };
  header.pickup = ticks;
  return null;
}

function headerError(
  code: TuneError['code'],
  line: HeaderLine,
  column: number,
  data: Readonly<Record<string, string | number>>,
): TuneError {
  return {
    code,
    place: { line: line.line, column },
    data: { word: line.word, value: line.value.slice(0, 60), ...data },
  };
}
