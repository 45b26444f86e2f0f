import { BarReader, type SectionDraft } from './bars.ts';
import { type Header, type HeaderLine, headerLineOf, readHeader } from './header.ts';
import { type MelodyLine, readMelody } from './melody.ts';
import type { Section, Tune, TuneError, TuneReading } from './model.ts';
import { pageOf } from './page.ts';
import { tokensOf } from './tokens.ts';
import { unroll } from './unroll.ts';

/** Longest text read, in characters. */
export const LARGEST_TEXT = 1_048_576;

/** Title of a tune whose text gives none. */
export const UNTITLED = 'Untitled';

/**
 * Reads tune text: head lines, sections, bars and melody lines, as described in `sample-library/README.md`.
 * Carries on after a mistake: the tune holds what could be read, `errors` every mistake with its line
 * and column, in the order of the text. `tune` is null only when there are no bars at all, or when
 * the text is too long or no text.
 *
 * @example readTune('title: Walk\n| Cm7 | F7 |').tune?.sections[0]?.bars.length // 2
 */
export function readTune(text: string): TuneReading {
  const refusal = refuse(text);
  if (refusal) return { tune: null, errors: [refusal] };
  const errors: TuneError[] = [];
  const lines = text.replace(/^\uFEFF/u, '').split(/\r\n|\r|\n/u);
  const parsed = lines.map((line, i) => headerLineOf(line, i + 1));
  const heads = parsed.filter((line): line is HeaderLine => !!line && line.word !== 'melody');
  const header = readHeader(heads, errors);
  const sections = readSections(lines, parsed, header, errors);
  const bars = sections.reduce((sum, section) => sum + section.bars.length, 0);
  if (bars === 0) {
    errors.push({ code: 'tune/no-bars', place: { line: lines.length }, data: {} });
    return { tune: null, errors: inOrder(errors) };
  }
  const tune = tuneOf(header, sections, errors);
  checkForm(tune, sections, errors);
  return { tune, errors: inOrder(errors) };
}

function refuse(text: string): TuneError | null {
  if (text.length > LARGEST_TEXT) {
    return { code: 'tune/too-large', place: {}, data: { length: text.length, most: LARGEST_TEXT } };
  }
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
  const control = /[\u0000-\u0008\u000E-\u001A\u001C-\u001F]/u.exec(text);
  if (control) {
    const line = text.slice(0, control.index).split(/\r\n|\r|\n/u).length;
    return { code: 'tune/binary', place: { line }, data: {} };
  }
  return text.trim() === '' ? { code: 'tune/empty', place: {}, data: {} } : null;
}

function readSections(
  lines: readonly string[],
  parsed: readonly (HeaderLine | null)[],
  header: Header,
  errors: TuneError[],
): SectionDraft[] {
  const reader = new BarReader(header.meter, header.pickup, errors);
  const melodies = new Map<SectionDraft, MelodyLine[]>();
  lines.forEach((text, i) => {
    const head = parsed[i];
    if (head) {
      if (head.word === 'melody') keepMelody(reader, melodies, head, errors);
      return;
    }
    readBarLine(reader, text, i + 1, errors);
  });
  for (const section of reader.sections) {
    if (section.bars.length === 0) {
      errors.push(sectionError(section, 'empty', section.label));
    }
    const melody = melodies.get(section);
    if (melody) readMelody(section, melody, errors);
  }
  return reader.sections.filter((section) => section.bars.length > 0);
}

/** Melody lines wait until all bars of their section are known. */
function keepMelody(
  reader: BarReader,
  melodies: Map<SectionDraft, MelodyLine[]>,
  head: HeaderLine,
  errors: TuneError[],
): void {
  const section = reader.sections[reader.sections.length - 1];
  if (!section) {
    const place = { line: head.line, column: head.column };
    errors.push({ code: 'tune/melody', place, data: { reason: 'no-section' } });
    return;
  }
  const lines = melodies.get(section) ?? [];
  lines.push({ text: head.value, line: head.line, column: head.valueColumn });
  melodies.set(section, lines);
}

function readBarLine(reader: BarReader, text: string, line: number, errors: TuneError[]): void {
  const label = /^\s*\[([^\]|]*)\]/u.exec(text);
  if (label) {
    // A comma parts the names of a form, so a name has none.
    const name = (label[1] ?? '').replaceAll(',', ' ').trim();
    const place = { line, column: text.indexOf('[') + 1 };
    reader.startSection(name, place);
  }
  const rest = label ? label[0].length : 0;
  if (text.slice(rest).trim() === '') return;
  if (!text.includes('|', rest)) {
    const column = rest + text.slice(rest).search(/\S/u) + 1;
    const data = { reason: 'no-barlines', text: text.slice(rest).trim().slice(0, 60) };
    errors.push({ code: 'tune/bar-unclosed', place: { line, column }, data });
    return;
  }
  reader.readLine(tokensOf(text, line, rest), text.trimEnd().length + 1);
}

function tuneOf(header: Header, drafts: readonly SectionDraft[], errors: TuneError[]): Tune {
  const sections: Section[] = drafts.map(({ label, bars }) => ({ label, bars }));
  return {
    title: header.title ?? UNTITLED,
    credit: header.credit,
    key: header.key,
    meter: header.meter,
    tempo: header.tempo,
    feel: header.feel,
    form: readForm(header, drafts, errors),
    pickup: header.pickup,
    sections,
  };
}

/** Labels of the form: parted by commas or spaces, or single letters in one word (`AABA`). */
function readForm(
  header: Header,
  drafts: readonly SectionDraft[],
  errors: TuneError[],
): string[] | null {
  const form = header.form;
  if (!form) return null;
  const labels = drafts.map(({ label }) => label);
  const counts = new Map<string, number>();
  for (const label of labels) counts.set(label, (counts.get(label) ?? 0) + 1);
  const order: string[] = [];
  for (const word of formWords(form.text, new Set(labels))) {
    const count = counts.get(word) ?? 0;
    if (count === 1) {
      order.push(word);
      continue;
    }
    errors.push({
      code: 'tune/section',
      place: { line: form.line, column: form.column + Math.max(form.text.indexOf(word), 0) },
      data: {
        reason: count === 0 ? 'missing' : 'twice',
        label: word,
        known: [...counts.keys()].filter(Boolean).slice(0, 20).join(', '),
      },
    });
  }
  return order.length > 0 ? order : null;
}

function formWords(text: string, labels: ReadonlySet<string>): string[] {
  if (text.includes(',')) {
    return text
      .split(',')
      .map((word) => word.trim())
      .filter(Boolean);
  }
  const words = text.split(/\s+/u).filter(Boolean);
  if (labels.has(text)) return [text];
  return words.flatMap((word) => {
    const letters = [...word];
    const isRun = !labels.has(word) && letters.every((letter) => labels.has(letter));
    return isRun ? letters : [word];
  });
}

/** Signs of the form that cannot be played, with the place of their bar in the text. */
function checkForm(tune: Tune, drafts: readonly SectionDraft[], errors: TuneError[]): void {
  const chorus = unroll(tune);
  if (chorus.ok) return;
  const page = pageOf(tune);
  const { page: index, ...data } = chorus.error.data;
  const bar = typeof index === 'number' ? page[index] : undefined;
  const filled = drafts.filter((section) => section.bars.length > 0);
  const at = bar && filled[bar.section]?.places[bar.writtenBar];
  errors.push({
    code: chorus.error.code,
    place: { ...(at ? { line: at.line, column: at.column } : {}), ...chorus.error.place },
    data,
  });
}

function sectionError(section: SectionDraft, reason: string, label: string): TuneError {
  return {
    code: 'tune/section',
    place: { line: section.place.line, column: section.place.column },
    data: { reason, label },
  };
}

function inOrder(errors: readonly TuneError[]): TuneError[] {
  const line = (error: TuneError) => error.place.line ?? 0;
  const column = (error: TuneError) => error.place.column ?? 0;
  return [...errors].sort((a, b) => line(a) - line(b) || column(a) - column(b));
}
