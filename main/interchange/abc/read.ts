import { beatTicks, type Meter, TICKS_PER_QUARTER } from '../../../shared-core/time/meter.ts';
import { type Draft, emptyDraft } from '../draft.ts';
import { Refusal } from '../errors.ts';
import { finishTune, type ImportedTune } from '../finish.ts';
import { holdLimit, LIMITS } from '../limits.ts';
import { settleCodas } from '../signs.ts';
import { readAbcKey } from './key.ts';
import { AbcMusic } from './music.ts';
import { readAbcMeter, readUnit } from './values.ts';

interface Line {
  readonly text: string;
  readonly number: number;
}

/**
 * Reads ABC (standard 2.1): chords in quotation marks, melody, repeats, endings, meter, tempo, key and
 * parts. A file may hold many tunes; each starts at its `X:` line. Of several voices the first is read.
 */
export function readAbc(text: string): ImportedTune[] {
  const tunes = tunesOf(text);
  if (tunes.length === 0) throw new Refusal('import/abc', 'no tune in it has a K: line.');
  holdLimit(tunes.length, LIMITS.tunes, 'tunes');
  return tunes.map(readTuneLines);
}

/** The lines of each tune, without comments; a tune has a key line. */
function tunesOf(text: string): Line[][] {
  const tunes: Line[][] = [];
  let current: Line[] = [];
  text.split(/\r\n|\r|\n/u).forEach((raw, i) => {
    const line = { text: raw.replace(/(^|[^\\])%.*$/u, '$1').trimEnd(), number: i + 1 };
    if (/^\uFEFF?X:/u.test(line.text)) {
      tunes.push(current);
      current = [];
    }
    current.push({ ...line, text: line.text.replace(/^\uFEFF/u, '') });
  });
  tunes.push(current);
  return tunes.filter((lines) => lines.some((line) => line.text.startsWith('K:')));
}

/** What the head lines of a tune say. */
interface Head {
  meter: Meter;
  unit: number | null;
  tempo: string | null;
  parts: string | null;
}

function readTuneLines(lines: readonly Line[]): ImportedTune {
  const draft = emptyDraft();
  const head: Head = { meter: { count: 4, unit: 4 }, unit: null, tempo: null, parts: null };
  const body = lines.findIndex((line) => line.text.startsWith('K:'));
  for (const line of lines.slice(0, body)) readHeadLine(draft, head, line);
  const key = readAbcKey((lines[body]?.text ?? '').slice(2));
  if (!key) {
    throw new Refusal(
      'import/abc',
      `"${lines[body]?.text.slice(0, 40)}" names no key. Write it like K:Bb or K:Am.`,
      {
        line: lines[body]?.number ?? 1,
      },
    );
  }
  draft.key = key.key;
  const unit = head.unit ?? usualUnit(head.meter);
  const music = new AbcMusic(head.meter, unit, key.signature, draft.warnings);
  readBody(draft, music, lines.slice(body + 1), head);
  draft.bars.push(...music.finish());
  settleCodas(draft.bars);
  draft.tempo = tempoOf(head.tempo, unit, draft.bars[0]?.meter ?? head.meter);
  draft.form = head.parts === null ? null : partsOf(head.parts);
  return finishTune(draft);
}

/** Without `L:`: a sixteenth where the meter is less than three quarters, else an eighth (ABC 2.1, 3.1.7). */
function usualUnit(meter: Meter): number {
  return meter.count / meter.unit < 0.75 ? TICKS_PER_QUARTER / 4 : TICKS_PER_QUARTER / 2;
}

function readHeadLine(draft: Draft, head: Head, { text, number }: Line): void {
  const value = text.slice(2).trim();
  switch (text.slice(0, 2)) {
    case 'T:':
      draft.title ??= value;
      return;
    case 'C:':
      draft.credit ??= value;
      return;
    case 'O:':
      return;
    case 'R:':
      draft.feel ??= value;
      return;
    case 'M:': {
      const meter = readAbcMeter(value);
      if (meter) head.meter = meter;
      else if (!/^none$/iu.test(value)) {
        throw new Refusal('import/abc', `"${value}" is not a meter.`, { line: number });
      }
      return;
    }
    case 'L:':
      head.unit = readUnit(value);
      return;
    case 'Q:':
      head.tempo = value;
      return;
    case 'P:':
      head.parts = value;
      return;
    default:
  }
}

function readBody(draft: Draft, music: AbcMusic, lines: readonly Line[], head: Head): void {
  let voice: string | null = null;
  let first: string | null = null;
  for (const { text, number } of lines) {
    const field = /^([A-Za-z]):(.*)$/u.exec(text);
    // A line of music may begin with a closing repeat after one letter only if it is a note and a bar line.
    if (field && !/^[A-Ga-gzx]:[|:]/u.test(text)) {
      if (field[1] === 'V') {
        voice = (field[2] ?? '').trim().split(/\s+/u)[0] ?? '';
        first ??= voice;
        if (voice !== first) draft.warnings.add('Only the first voice was read.');
      } else if (field[1] === 'Q') {
        head.tempo ??= field[2] ?? null;
      } else if (voice === null || voice === first) {
        music.readField(field[1] ?? '', field[2] ?? '');
      }
      continue;
    }
    if (voice === null || voice === first) music.readLine(text.replace(/\\$/u, ''), number);
  }
}

/** `1/4=120`, `120` (of the unit length), or words with a figure; null for words alone. */
function tempoOf(text: string | null, unit: number, meter: Meter): number | null {
  if (text === null) return null;
  const match = /(?:(\d{1,2})\/(\d{1,2})\s*=\s*)?(\d{1,3})\s*$/u.exec(
    text.replace(/"[^"]*"/gu, ' ').trim(),
  );
  if (!match) return null;
  const beat = match[1] ? (Number(match[1]) * TICKS_PER_QUARTER * 4) / Number(match[2]) : unit;
  const tempo = Math.round((Number(match[3]) * beat) / beatTicks(meter));
  return tempo >= 20 && tempo <= 500 ? tempo : null;
}

/** `P:` in the head: letters with counts and brackets, `A2(BC)2`; null where it is something else. */
function partsOf(text: string): string[] | null {
  const compact = text.replace(/[\s.]/gu, '');
  if (!/^[A-Za-z\d()]{1,60}$/u.test(compact)) return null;
  const stack: string[][] = [[]];
  for (const match of compact.matchAll(/([A-Za-z])(\d?)|(\()|\)(\d?)/gu)) {
    if (match[3]) {
      stack.push([]);
      continue;
    }
    const group = match[1] ? [match[1]] : (stack.pop() ?? []);
    const times = Number((match[1] ? match[2] : match[4]) || 1);
    const into = stack[stack.length - 1];
    if (!into) return null;
    for (let n = 0; n < times && into.length < LIMITS.bars; n++) into.push(...group);
  }
  return stack.length === 1 ? (stack[0] ?? null) : null;
}
