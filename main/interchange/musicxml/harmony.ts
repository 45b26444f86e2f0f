import { DEGREES } from '../../../shared-core/chord/degrees.ts';
import type { Chord, Degree, Harmony } from '../../../shared-core/chord/model.ts';
import { NO_CHORD, parseChord } from '../../../shared-core/chord/parse.ts';
import { qualityOfMask } from '../../../shared-core/chord/quality.ts';
import { degreesOfKind, type KindDegree } from '../../../shared-core/notation/kind.ts';
import type { Interval } from '../../../shared-core/pitch/interval.ts';
import { type Letter, nameOf, type Spelled, spelled } from '../../../shared-core/pitch/spelled.ts';
import { child, childrenOf, numberOf, textOf, type Xml } from './tree.ts';

/** A harmony that was read, or why it was not. */
export type HarmonyReading =
  | { readonly harmony: Harmony; readonly trouble: null }
  | { readonly harmony: null; readonly trouble: string };

/** Other names under which files give kinds. Common practice of exporters, no source. */
const KIND_NAMES: Readonly<Record<string, string>> = {
  maj: 'major',
  min: 'minor',
  '': 'major',
  'dominant-seventh': 'dominant',
  'minor-major': 'major-minor',
  'major-7th': 'major-seventh',
  'minor-7th': 'minor-seventh',
  'dominant-11': 'dominant-11th',
  Neapolitan: 'major',
};

/**
 * A `<harmony>` element as a chord at concert pitch. The kind and its degrees say what sounds; the
 * text of the kind is used where the kind is `other`, and for `alt`, which has no kind of its own.
 *
 * @param toConcert interval from the part's written to its sounding pitch
 */
export function readHarmony(element: Xml, toConcert: Interval): HarmonyReading {
  const kind = child(element, 'kind');
  const name = kind?.text.trim() ?? '';
  if (name === 'none') return { harmony: NO_CHORD, trouble: null };
  const root = pitchClassOf(child(element, 'root'), 'root');
  if (root === null) return { harmony: null, trouble: 'a chord without a root' };
  const bass = pitchClassOf(child(element, 'bass'), 'bass');
  const text = kind?.attributes.text?.trim() ?? '';
  const suffix = suffixOf(KIND_NAMES[name] ?? name, text, degreesOf(element));
  if (suffix === null) {
    return { harmony: null, trouble: `the chord ${nameOf(root)} of kind "${text || name}"` };
  }
  const move = (pc: Spelled) => nameOf(pc + toConcert.fifths);
  const read = parseChord(`${move(root)}${suffix}${bass === null ? '' : `/${move(bass)}`}`);
  if (!read.ok) return { harmony: null, trouble: `the chord ${move(root)}${suffix}` };
  if (element.attributes.type !== 'alternate' || read.value.kind === 'none') {
    return { harmony: read.value, trouble: null };
  }
  const optional: Chord = { ...read.value, optional: true };
  return { harmony: optional, trouble: null };
}

function pitchClassOf(element: Xml | undefined, name: 'root' | 'bass'): Spelled | null {
  const step = textOf(element, `${name}-step`).toUpperCase();
  if (!/^[A-G]$/u.test(step)) return null;
  const alter = Math.round(numberOf(element, `${name}-alter`, 0));
  return Math.abs(alter) > 2 ? null : spelled(step as Letter, alter);
}

function degreesOf(element: Xml): KindDegree[] {
  return childrenOf(element, 'degree').map((degree) => ({
    value: Math.round(numberOf(degree, 'degree-value', 0)),
    alter: Math.round(numberOf(degree, 'degree-alter', 0)),
    type: typeOf(textOf(degree, 'degree-type')),
  }));
}

function typeOf(text: string): KindDegree['type'] {
  return text === 'alter' || text === 'subtract' ? text : 'add';
}

/** The suffix of kind, text and degrees; null where they name no chord. */
function suffixOf(kind: string, text: string, degrees: readonly KindDegree[]): string | null {
  const written = text.replace(/^\((.*)\)$/u, '$1');
  if (/alt/iu.test(written) && kind.startsWith('dominant') && reads(written)) return written;
  if (kind === 'other') return written !== '' && reads(written) ? written : null;
  const built = builtSuffix(kind, degrees);
  if (built !== null) return built;
  return written !== '' && reads(written) ? written : null;
}

function reads(suffix: string): boolean {
  return parseChord(`C${suffix}`).ok;
}

/** Degrees that all sound in an altered dominant. */
const ALTERED = ['b9', '#9', '#11', 'b13'];

function builtSuffix(kind: string, changes: readonly KindDegree[]): string | null {
  let degrees: readonly Degree[];
  try {
    degrees = degreesOfKind({ kind, degrees: [] });
  } catch {
    return null;
  }
  // Left out in practice where the kind's stack of thirds has them: see the table of kinds.
  const silent = kind === 'dominant-11th' ? 3 : kind.endsWith('-13th') ? 11 : 0;
  let held = degrees.filter(
    ({ number }) => number !== silent || changes.some(({ value }) => value === silent),
  );
  for (const change of changes) {
    const next = changed(held, change);
    if (!next) return null;
    held = next;
  }
  const names = held.map(
    ({ number, alter }) => `${alter < 0 ? 'b' : alter > 0 ? '#' : ''}${number}`,
  );
  if (kind === 'dominant' && ALTERED.every((name) => names.includes(name))) return '7alt';
  return suffixOfDegrees(held);
}

/** One `<degree>`: altering or adding; an added seventh counts from a dominant chord. */
function changed(held: readonly Degree[], change: KindDegree): Degree[] | null {
  const hasSeventh = held.some(({ number }) => number === 7);
  const number = degreeNumber(change.value, hasSeventh);
  if (number === null) return null;
  const others = held.filter((degree) => degree.number !== number);
  if (change.type === 'subtract') return others;
  const own = held.find((degree) => degree.number === number);
  if (change.type === 'alter' && own) {
    return [...others, { number, alter: (own.alter + change.alter) as Degree['alter'] }];
  }
  const alter = (number === 7 ? change.alter - 1 : change.alter) as Degree['alter'];
  // Both altered ninths may stand in one chord; any other degree replaces the one it repeats.
  const kept = number === 9 && own && own.alter !== 0 ? held : others;
  return [...kept, { number, alter }];
}

function degreeNumber(value: number, hasSeventh: boolean): Degree['number'] | null {
  if (value === 2) return 9;
  if (value === 4) return 11;
  if (value === 6) return hasSeventh ? 13 : 6;
  return [1, 3, 5, 7, 9, 11, 13].includes(value) ? (value as Degree['number']) : null;
}

/** The suffix of a set of degrees, where a chord symbol has one. */
function suffixOfDegrees(degrees: readonly Degree[]): string | null {
  let mask = 0;
  for (const { number, alter } of degrees) {
    const row = DEGREES.find(({ degree }) => degree.number === number && degree.alter === alter);
    if (!row) return null;
    mask |= row.bit;
  }
  const { suffix } = qualityOfMask(mask);
  return reads(suffix) ? suffix : null;
}
