import { err, ok, type Result } from '../result.ts';
import type { Instrument } from './instruments.ts';
import { chromaOf, midiOf, modulo, type Pitch, parsePitch, pitchAt, pitchName } from './spelled.ts';

/** How a guitar or a bass is strung and held. */
export interface StringSetup {
  /** Open strings at sounding pitch, the lowest first. */
  readonly tuning: readonly Pitch[];
  /** Fret of a capo, 0 for none. */
  readonly capo: number;
  readonly leftHanded: boolean;
}

/** What is strung: guitars may have a capo, basses decide how low the band's lowest line goes. */
export type Strung = 'guitar' | 'bass';

/** Why a tuning cannot be used; `text` is what was read, `at` its string, counted from 1 at the lowest. */
export interface TuningError {
  readonly code: 'note' | 'count' | 'order' | 'wide' | 'range';
  readonly text: string;
  readonly at?: number;
}

/** A tuning with the name players give it. */
export interface NamedTuning {
  readonly name: string;
  /** As {@link tuningText} writes it. */
  readonly strings: string;
}

/**
 * Usual tunings, the instrument's own first. Source: tests/reference/guitar.json, `tunings`, by name.
 */
export const TUNINGS: Readonly<Record<Strung, readonly NamedTuning[]>> = {
  guitar: [
    { name: 'standard', strings: 'E2 A2 D3 G3 B3 E4' },
    { name: 'drop D', strings: 'D2 A2 D3 G3 B3 E4' },
    { name: 'double drop D', strings: 'D2 A2 D3 G3 B3 D4' },
    { name: 'DADGAD', strings: 'D2 A2 D3 G3 A3 D4' },
    { name: 'open D', strings: 'D2 A2 D3 F#3 A3 D4' },
    { name: 'open G', strings: 'D2 G2 D3 G3 B3 D4' },
    { name: 'open C', strings: 'C2 G2 C3 G3 C4 E4' },
    { name: 'down a semitone', strings: 'Eb2 Ab2 Db3 Gb3 Bb3 Eb4' },
    { name: 'down a whole tone', strings: 'D2 G2 C3 F3 A3 D4' },
    { name: 'all fourths', strings: 'E2 A2 D3 G3 C4 F4' },
    { name: 'seven strings, low B', strings: 'B1 E2 A2 D3 G3 B3 E4' },
    { name: 'seven strings, low A', strings: 'A1 E2 A2 D3 G3 B3 E4' },
  ],
  bass: [
    { name: 'four strings', strings: 'E1 A1 D2 G2' },
    { name: 'four strings, drop D', strings: 'D1 A1 D2 G2' },
    { name: 'five strings, low B', strings: 'B0 E1 A1 D2 G2' },
    { name: 'five strings, high C', strings: 'E1 A1 D2 G2 C3' },
    { name: 'six strings', strings: 'B0 E1 A1 D2 G2 C3' },
  ],
};

/** Fewest and most strings, and the lowest and highest open string anybody uses. Common practice, no source. */
const LIMITS = {
  guitar: { few: 4, many: 10, low: 16, high: 81 },
  bass: { few: 3, many: 7, low: 11, high: 60 },
} as const;

/** Where the lowest string is looked for when its octave is left out, by the number of strings. */
const LOWEST: Readonly<Record<Strung, readonly number[]>> = {
  guitar: [50, 50, 50, 50, 50, 45, 40, 35, 30, 25, 20],
  bass: [28, 28, 28, 28, 28, 23, 23, 18],
};

/** Highest fret of a capo: past it no hand has room (common practice, no source). */
export const HIGHEST_CAPO = 9;

/** What an instrument is when strings, capo and hand are asked about; null for every other instrument. */
export function strungAs({ family, clef }: Instrument): Strung | null {
  if (family !== 'plucked') return null;
  return clef === 'bass' ? 'bass' : 'guitar';
}

/** The setup nobody needs to say: usual tuning, no capo, right-handed. */
export function usualSetup(strung: Strung): StringSetup {
  const usual = TUNINGS[strung][0]?.strings ?? '';
  return { tuning: usual.split(' ').map(pitchOrThrow), capo: 0, leftHanded: false };
}

/**
 * Reads a tuning as players write it: the open strings from the lowest up, apart or run together, octaves
 * left out or given. Without its octave the lowest string lies where such an instrument has it, and each
 * other one next above its neighbour.
 *
 * @example readTuning('DADGAD', 'guitar') // D2 A2 D3 G3 A3 D4
 * @example readTuning('Eb Ab Db Gb Bb Eb', 'guitar')
 * @example readTuning('C3 G3 D4 A4', 'guitar') // octaves given
 */
export function readTuning(text: string, strung: Strung): Result<readonly Pitch[], TuningError> {
  const words = wordsOf(text);
  const tuning: Pitch[] = [];
  for (const [index, word] of words.entries()) {
    const pitch = stringOf(word, tuning.at(-1), LOWEST[strung][words.length] ?? 40);
    if (!pitch) return err({ code: 'note', text: word, at: index + 1 });
    tuning.push(pitch);
  }
  const fault = faultOf(tuning, strung);
  return fault ? err(fault) : ok(tuning);
}

/** What keeps a tuning from being used; null when nothing does. */
export function faultOf(tuning: readonly Pitch[], strung: Strung): TuningError | null {
  const { few, many, low, high } = LIMITS[strung];
  if (tuning.length < few || tuning.length > many)
    return { code: 'count', text: String(tuning.length) };
  for (const [index, pitch] of tuning.entries()) {
    const at = { text: pitchName(pitch), at: index + 1 };
    const midi = midiOf(pitch);
    if (midi < low || midi > high) return { code: 'range', ...at };
    const before = tuning[index - 1];
    if (!before) continue;
    if (midi <= midiOf(before)) return { code: 'order', ...at };
    if (midi - midiOf(before) > 12) return { code: 'wide', ...at };
  }
  return null;
}

/** A tuning as text, octaves and all: `D2 A2 D3 G3 A3 D4`. {@link readTuning} reads it back. */
export function tuningText(tuning: readonly Pitch[]): string {
  return tuning.map(pitchName).join(' ');
}

/** The name of a tuning, or its strings without octaves: `DADGAD`, `C G D G A D`. */
export function tuningName(tuning: readonly Pitch[], strung: Strung): string {
  const strings = tuningText(tuning);
  const named = TUNINGS[strung].find((one) => one.strings === strings);
  return named?.name ?? strings.replaceAll(/\d/gu, '');
}

/** The sentence for a tuning that cannot be used. */
export function tuningMessage({ code, text, at }: TuningError, strung: Strung): string {
  const { few, many } = LIMITS[strung];
  switch (code) {
    case 'note':
      return `String ${at}: “${text}” is no note. Write the open strings from the lowest up, such as ${
        strung === 'guitar' ? 'E A D G B E' : 'E A D G'
      }.`;
    case 'count':
      return `A ${strung} has ${few} to ${many} strings; this names ${text === '0' ? 'none' : text}.`;
    case 'order':
      return `String ${at}, ${text}, is not above the one before it. Write the strings from the lowest up.`;
    case 'wide':
      return `String ${at}, ${text}, lies more than an octave above the one before it; see to its octave.`;
    case 'range':
      return `String ${at}, ${text}, is out of reach of a ${strung}; see to its octave.`;
  }
}

/** Notes apart (by spaces, commas or dashes), or run together as in DADGAD. */
function wordsOf(text: string): readonly string[] {
  const parts = text.trim().split(/[\s,–-]+/u);
  const [only = ''] = parts;
  if (parts.length > 1) return parts.filter((part) => part !== '');
  const run = only.match(/[A-G](?:#|♯|b|♭)?\d?/gu) ?? [];
  if (run.join('') === only) return run;
  return only === '' ? [] : parts;
}

function stringOf(word: string, before: Pitch | undefined, lowest: number): Pitch | null {
  const capital = word.charAt(0).toUpperCase() + word.slice(1);
  const exact = parsePitch(capital);
  if (exact) return exact;
  const named = parsePitch(`${capital}4`);
  if (!named) return null;
  const chroma = chromaOf(named.pc);
  const midi = before
    ? midiOf(before) + 1 + modulo(chroma - midiOf(before) - 1, 12)
    : lowest + modulo(chroma - lowest + 6, 12) - 6;
  return pitchAt(midi, named.pc);
}

function pitchOrThrow(text: string): Pitch {
  const pitch = parsePitch(text);
  if (!pitch) throw new Error(`Not a pitch: ${text}`);
  return pitch;
}
