import { symbolOf } from '../chord/format.ts';
import type { Chord, ChordQuality } from '../chord/model.ts';
import { pairTable } from '../chord/pair-table.ts';
import { sameChord } from '../chord/same.ts';
import { barAt } from '../devices/grid.ts';
import type { Change, Rewrite, Site } from '../devices/model.ts';
import type { Key, Mode } from '../pitch/key.ts';
import {
  type Chroma,
  chromaOf,
  type FifthsInterval,
  modulo,
  nameOf,
  type Spelled,
} from '../pitch/spelled.ts';
import { beatTicks, type Ticks } from '../time/meter.ts';
import type { Clash, Verdict } from './model.ts';

/** One chord of a rewrite beside what is written there. */
export interface Departure {
  readonly at: Ticks;
  readonly length: Ticks;
  readonly chord: Chord;
  /** Whether anything else is written there, if only for a part of its time. */
  readonly departs: boolean;
  /** Its rubs with the comping, in order. */
  readonly clashes: readonly Clash[];
  /** Whether it lasts a bar or more on another root than the comping's, and stands for nothing comped. */
  readonly longNewRoot: boolean;
}

/** Altered tensions a dominant takes from above without harm: b9 #9 #11 b13. */
const ALTERED = new Set([1, 3, 6, 8]);

const NO_CLASHES: readonly Clash[] = [];

/**
 * One chord of a rewrite as it sits over the comping, were only the soloist to play it.
 *
 * A rub is a soloist's chord tone a semitone above a tone the comping holds (a minor ninth), or a
 * semitone either side of its third or seventh. Accepted without a rub: what is a chord tone of both; the
 * altered tensions over a dominant; the tritone substitute, the related two and the diminished seventh
 * over the dominant they stand for. Common practice, no source.
 *
 * @param at ticks from the site's start
 */
export function departureOf(site: Site, at: Ticks, length: Ticks, chord: Chord): Departure {
  let clashes = NO_CLASHES;
  const bar = barAt(site, at);
  const long = bar !== undefined && length >= bar.length;
  let departs = false;
  let longNewRoot = false;
  for (const { at: since, length: lasts, harmony } of site.written) {
    const from = Math.max(at, since);
    const to = Math.min(at + length, since + lasts);
    if (harmony.kind !== 'chord' || from >= to || sameChord(chord, harmony)) continue;
    departs = true;
    if (standsFor(chord, harmony)) continue;
    const here = clashesBetween(site, from, to - from, chord, harmony);
    if (here.length > 0) clashes = clashes.length === 0 ? here : [...clashes, ...here];
    if (long && chromaOf(chord.root) !== chromaOf(harmony.root)) longNewRoot = true;
  }
  return { at, length, chord, departs, clashes, longNewRoot };
}

function clashesBetween(
  site: Site,
  at: Ticks,
  length: Ticks,
  solo: Chord,
  comping: Chord,
): readonly Clash[] {
  const rubs = rubsBetween(comping, solo);
  if (rubs.length === 0) return NO_CLASHES;
  const { bar, beat } = addressIn(site, at);
  return rubs.map(({ solo: up, comping: under, kind }) => {
    const soloNote = solo.root + up;
    const compingNote = comping.root + under;
    const words = wordsFor(comping, soloNote, compingNote);
    return { at, length, bar, beat, soloNote, compingNote, kind, words };
  });
}

/** The same rub is found in hundreds of proposals over one chord: its words are made once. */
const rubWords = new WeakMap<Chord, Map<number, string>>();

function wordsFor(comping: Chord, soloNote: Spelled, compingNote: Spelled): string {
  let words = rubWords.get(comping);
  if (!words) {
    words = new Map();
    rubWords.set(comping, words);
  }
  const key = soloNote * 128 + compingNote;
  let said = words.get(key);
  if (said === undefined) {
    said = `${nameOf(soloNote)} over ${symbolOf(comping)}'s ${nameOf(compingNote)}`;
    words.set(key, said);
  }
  return said;
}

/** A tone of one chord that rubs against a tone of another. */
interface Rub {
  /** Spelling of the soloist's note above its root, and of the comped note above its own. */
  readonly solo: FifthsInterval;
  readonly comping: FifthsInterval;
  readonly kind: Clash['kind'];
}

/** All rubs of what is comped with a soloist's chord over it, from the soloist's root up. */
const rubsBetween = pairTable(findRubs);

/** @param up semitones from the comped root to the soloist's */
function findRubs(comping: ChordQuality, solo: ChordQuality, up: number): readonly Rub[] {
  const rubs: Rub[] = [];
  for (const fifths of solo.fifths) {
    const against = rubOf(comping, modulo(up + chromaOf(fifths), 12));
    if (against !== null) rubs.push({ solo: fifths, comping: against.fifths, kind: against.kind });
  }
  return rubs;
}

/** What a note so many semitones above a comped chord's root rubs against; null where it does not. */
function rubOf(
  quality: ChordQuality,
  above: number,
): { readonly fifths: FifthsInterval; readonly kind: Clash['kind'] } | null {
  if (((quality.chromaMask >> above) & 1) === 1) return null;
  if (quality.family === 'dominant' && ALTERED.has(above)) return null;
  for (let index = 0; index < quality.degrees.length; index++) {
    const degree = quality.degrees[index];
    if (!degree || degree.number > 7) continue;
    const up = modulo(above - (quality.semitones[index] ?? 0), 12);
    const guide = degree.number === 3 || degree.number === 7;
    if (up !== 1 && !(up === 11 && guide)) continue;
    const fifths = quality.fifths[index] ?? 0;
    if (degree.number === 3) return { fifths, kind: 'against-third' };
    if (degree.number === 7) return { fifths, kind: 'against-seventh' };
    return { fifths, kind: 'minor-ninth' };
  }
  return null;
}

/** The tritone substitute, the related two, or the diminished seventh over the dominant it stands for. */
function standsFor(solo: Chord, comping: Chord): boolean {
  if (comping.quality.family !== 'dominant') return false;
  const up = modulo(chromaOf(solo.root) - chromaOf(comping.root), 12);
  const { family } = solo.quality;
  if (family === 'dominant') return up === 6 || up === 0;
  if (family === 'minor' || family === 'half-diminished') return up === 7;
  return family === 'diminished' && up % 3 === 1;
}

/** All rubs of a rewrite, in order. */
export function clashesOf(departures: readonly (Departure | null)[]): readonly Clash[] {
  let all: readonly Clash[] = NO_CLASHES;
  for (const departure of departures) {
    if (departure === null || departure.clashes.length === 0) continue;
    all = all.length === 0 ? departure.clashes : all.concat(departure.clashes);
  }
  return all;
}

/**
 * What a rewrite asks of the rhythm section anywhere but in the ending. The band must follow a chord on a new
 * root that stands for a bar or more, two chords that rub in one bar, and a new key; any other rub is told
 * to it. A `note` sets no root and no key of its own. Common practice, no source.
 *
 * @param departures those of the rewrite's changes, in order; null for N.C.
 */
export function verdictOf(
  site: Site,
  { changes, degree }: Pick<Rewrite, 'changes' | 'degree'>,
  departures: readonly (Departure | null)[],
): Verdict {
  let rubbing = false;
  for (let index = 0; index < departures.length; index++) {
    const departure = departures[index];
    if (departure?.longNewRoot && degree !== 'note') return 'the band must follow';
    const bar = departure?.clashes[0]?.bar;
    if (bar === undefined) continue;
    if (rubsBefore(departures, index, bar)) return 'the band must follow';
    rubbing = true;
  }
  if (degree !== 'note' && setsNewKey(site, changes)) return 'the band must follow';
  return rubbing ? 'tell the rhythm section' : 'fine over the top';
}

/** Whether a chord before the one at `index` begins to rub in the same bar. */
function rubsBefore(
  departures: readonly (Departure | null)[],
  index: number,
  bar: number,
): boolean {
  for (let before = 0; before < index; before++) {
    if (departures[before]?.clashes[0]?.bar === bar) return true;
  }
  return false;
}

/** A dominant that resolves a fifth down to a major or minor chord whose root and third lie outside the local key. */
function setsNewKey(site: Site, changes: readonly Change[]): boolean {
  for (let index = 1; index < changes.length; index++) {
    const from = changes[index - 1]?.harmony;
    const to = changes[index]?.harmony;
    if (from?.kind !== 'chord' || to?.kind !== 'chord' || from.quality.family !== 'dominant')
      continue;
    if (to.quality.family !== 'major' && to.quality.family !== 'minor') continue;
    if (modulo(chromaOf(to.root) - chromaOf(from.root), 12) !== 5) continue;
    if (!inKey(site.key, to.root) || !inKey(site.key, to.root + thirdOf(to.quality))) return true;
  }
  return false;
}

function thirdOf(quality: ChordQuality): number {
  const index = quality.degrees.findIndex((degree) => degree.number === 3);
  return quality.fifths[index] ?? 0;
}

/** Semitones above the tonic as bits: major; natural minor with its raised sixth and seventh. */
const IN_MAJOR = 0b1010_1011_0101;
const IN_MINOR = 0b1111_1010_1101;

/** Whether the key's scale holds a note so many semitones above its tonic: major, or natural minor with its raised sixth and seventh. */
export function scaleHolds(mode: Mode, above: Chroma): boolean {
  return (((mode === 'major' ? IN_MAJOR : IN_MINOR) >> above) & 1) === 1;
}

function inKey({ tonic, mode }: Key, pc: Spelled): boolean {
  return scaleHolds(mode, modulo(chromaOf(pc) - chromaOf(tonic), 12));
}

function addressIn(site: Site, at: number): { bar: number; beat: number } {
  const bar = barAt(site, at);
  if (!bar) return { bar: site.span.startBar, beat: site.span.startBeat };
  return { bar: bar.index + 1, beat: (at - bar.start) / beatTicks(bar.meter) + 1 };
}
