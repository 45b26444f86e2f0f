/**
 * The open corpora of `../shared/reference/corpus`, read in place: their licences forbid a copy here.
 * Whoever has no such folder gets a message instead of figures.
 */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Harmony } from '../../shared-core/chord/model.ts';
import { parseChord } from '../../shared-core/chord/parse.ts';
import { type Key, parseKey } from '../../shared-core/pitch/key.ts';
import { barTicks, beatTicks, parseMeter } from '../../shared-core/time/meter.ts';
import type { Section, Tune, WrittenBar } from '../../shared-core/tune/model.ts';

const FOLDER = join(import.meta.dirname, '../../../shared/reference/corpus');

/** One tune of a chord corpus, as its README describes it. */
export interface CorpusRow {
  readonly id: string;
  readonly key: string | null;
  readonly meter: string;
  readonly form?: readonly (readonly [string | number, string | number])[];
  readonly bars: readonly (readonly { readonly beat: number; readonly symbol: string }[])[];
  readonly analysis?: {
    readonly preparations?: readonly Preparation[];
    readonly localKeys?: readonly (readonly [number, string])[];
    readonly tonalityType?: string;
    readonly template?: string;
    readonly turnaround?: number;
  };
}

/** An arc of the treebank: chord indices, root motion upwards in semitones. */
export interface Preparation {
  readonly from: number;
  readonly to: number;
  readonly rootUp: number;
  readonly adjacent: boolean;
}

/** Names of the chord corpora. */
export type CorpusName = 'jht' | 'wjd' | 'choro';

/** A message when the corpora are not there, nothing when they are. */
export function corpusMissing(): string | undefined {
  return existsSync(FOLDER) ? undefined : `no ${FOLDER}: nothing to compare with`;
}

/** All rows of a corpus. */
export function corpus(name: CorpusName): readonly CorpusRow[] {
  return readJson(`${name}-half.json`) as readonly CorpusRow[];
}

/** One file of the folder. */
export function readJson(file: string): unknown {
  return JSON.parse(readFileSync(join(FOLDER, file), 'utf8'));
}

/** The key a row names; null when it names none. Dorian counts as minor. */
export function keyOf(row: CorpusRow): Key | null {
  return row.key === null ? null : parseKey(row.key.replace('dorian', 'minor'));
}

/** A row as a tune without its key. Symbols that cannot be read stand as N.C. and are counted elsewhere. */
export function tuneOf(row: CorpusRow): Tune {
  const meter = parseMeter(row.meter) ?? { count: 4, unit: 4 };
  const bars: WrittenBar[] = row.bars.map((chords) => ({
    meter: null,
    length: barTicks(meter),
    harmony: chords.map(({ beat, symbol }) => ({
      at: Math.min(Math.round((beat - 1) * beatTicks(meter)), barTicks(meter) - 1),
      harmony: harmonyOf(symbol),
    })),
    melody: [],
    repeatStart: false,
    repeatEnd: 0,
    endings: [],
    marks: [],
    jump: null,
  }));
  return {
    title: row.id,
    credit: null,
    key: null,
    meter,
    tempo: null,
    feel: null,
    form: null,
    pickup: 0,
    sections: sectionsOf(row, bars),
  };
}

function harmonyOf(symbol: string): Harmony {
  const read = parseChord(symbol);
  return read.ok ? read.value : { kind: 'none' };
}

/** Cuts the bars where the row's form says: choro rows give start and label, the others label and length. */
function sectionsOf(row: CorpusRow, bars: readonly WrittenBar[]): Section[] {
  const starts: { at: number; label: string }[] = [];
  let at = 0;
  for (const [a, b] of row.form ?? []) {
    if (typeof a === 'number') starts.push({ at: a, label: String(b) });
    else {
      starts.push({ at, label: a });
      at += Number(b);
    }
  }
  if (starts[0]?.at !== 0) starts.unshift({ at: 0, label: 'A' });
  return starts
    .map((start, index) => ({
      label: start.label,
      bars: bars.slice(start.at, starts[index + 1]?.at ?? bars.length),
    }))
    .filter((section) => section.bars.length > 0);
}

/** Chords of a row in one list, as the corpus counts them. */
export function symbolsOf(row: CorpusRow): string[] {
  return row.bars.flatMap((bar) => bar.map(({ symbol }) => symbol));
}

/** Bars in plain text: what stands beside a wrong answer. */
export function barsText(row: CorpusRow): string {
  return row.bars.map((bar) => bar.map(({ symbol }) => symbol).join(' ') || ' ').join(' | ');
}
