import { symbolOf } from '../chord/format.ts';
import type { Chord, ChordQuality } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import { barAt } from '../devices/grid.ts';
import type { Change, Rewrite, Site } from '../devices/model.ts';
import { chromaOf, modulo, nameOf, type Spelled } from '../pitch/spelled.ts';
import { beatTicks, type Ticks } from '../time/meter.ts';
import type { Clash, Verdict } from './model.ts';

/** What the soloist spells over what the comping holds. */
export interface ClashReport {
  readonly clashes: readonly Clash[];
  readonly verdict: Verdict;
  /** Why the verdict fell so, in words; null for `fine over the top`. */
  readonly because: string | null;
}

/** Altered tensions a dominant takes from above without harm: b9 #9 #11 b13. */
const ALTERED = new Set([1, 3, 6, 8]);

/**
 * Clash between parts, were only the soloist to play the rewrite over unchanged comping.
 *
 * A rub is a soloist's chord tone a semitone above a tone the comping holds (a minor ninth), or a
 * semitone either side of its third or seventh. Accepted without a rub: what is a chord tone of both; the
 * altered tensions over a dominant; the tritone substitute, the related two and the diminished seventh
 * over the dominant they stand for. Common practice, no source.
 */
export function clashReport(
  site: Site,
  rewrite: Pick<Rewrite, 'changes' | 'degree'>,
  ending: boolean,
): ClashReport {
  const { changes } = rewrite;
  const clashes: Clash[] = [];
  const firings = new Map<number, number>();
  for (const change of changes) {
    if (change.harmony.kind !== 'chord') continue;
    const before = clashes.length;
    for (const comping of writtenUnder(site, change)) rubs(site, comping, change.harmony, clashes);
    const bar = clashes[before]?.bar;
    if (bar !== undefined) firings.set(bar, (firings.get(bar) ?? 0) + 1);
  }
  return { clashes, ...verdictOf(site, rewrite, clashes, firings, ending) };
}

/** What the comping holds under a change: the written chords there, cut to it. */
interface Comped {
  readonly at: Ticks;
  readonly length: Ticks;
  readonly chord: Chord;
}

/** The written chords that a change departs from, cut to its time; written chords it leaves alone are left out. */
function writtenUnder(site: Site, change: Change): Comped[] {
  const found: Comped[] = [];
  const end = change.at + change.length;
  for (const { at, length, harmony } of site.written) {
    if (harmony.kind !== 'chord' || at >= end || at + length <= change.at) continue;
    if (change.harmony.kind === 'chord' && sameChord(change.harmony, harmony)) continue;
    const from = Math.max(at, change.at);
    found.push({ at: from, length: Math.min(at + length, end) - from, chord: harmony });
  }
  return found;
}

/** Whether a change says what is written there anyway, all through its time. */
export function isWritten(site: Site, change: Change): boolean {
  return writtenUnder(site, change).length === 0;
}

function rubs(site: Site, comped: Comped, solo: Chord, into: Clash[]): void {
  const comping = comped.chord;
  if (standsFor(solo, comping)) return;
  const table = rubTable(comping.quality);
  const below = chromaOf(comping.root);
  let place: { bar: number; beat: number } | null = null;
  for (const fifths of solo.quality.fifths) {
    const soloNote = solo.root + fifths;
    const rub = table[modulo(chromaOf(soloNote) - below, 12)];
    if (!rub) continue;
    place ??= addressIn(site, comped.at);
    const compingNote = comping.root + rub.fifths;
    into.push({
      at: comped.at,
      length: comped.length,
      bar: place.bar,
      beat: place.beat,
      soloNote,
      compingNote,
      kind: rub.kind,
      words: wordsFor(comping, soloNote, compingNote),
    });
  }
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

/** What a note so many semitones above a comped chord's root rubs against; null where it does not. */
interface Rub {
  /** Spelling of the comped note above its root. */
  readonly fifths: number;
  readonly kind: Clash['kind'];
}

const rubTables = new WeakMap<ChordQuality, readonly (Rub | null)[]>();

function rubTable(comping: ChordQuality): readonly (Rub | null)[] {
  let table = rubTables.get(comping);
  if (!table) {
    table = Array.from({ length: 12 }, (_, above) => rubOf(comping, above));
    rubTables.set(comping, table);
  }
  return table;
}

function rubOf(quality: ChordQuality, above: number): Rub | null {
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

function verdictOf(
  site: Site,
  { changes, degree }: Pick<Rewrite, 'changes' | 'degree'>,
  clashes: readonly Clash[],
  firings: ReadonlyMap<number, number>,
  ending: boolean,
): { verdict: Verdict; because: string | null } {
  const follow = (because: string) => ({ verdict: 'the band must follow' as const, because });
  // One note over the held chord sets no root and no key of its own.
  const long = degree === 'note' ? null : longNewRoot(site, changes);
  if (long) return follow(`${symbolOf(long)} stands for a bar or more`);
  for (const [bar, count] of firings) if (count >= 2) return follow(`two rubs in bar ${bar}`);
  if (degree !== 'note' && setsNewKey(site, changes)) return follow('a new key is set');
  if (ending && clashes.length > 0) return follow('it is the ending');
  const first = clashes[0];
  if (first) return { verdict: 'tell the rhythm section', because: first.words };
  return { verdict: 'fine over the top', because: null };
}

/** A chord on a root other than the comping's that lasts a bar or more, unless it stands for the dominant comped. */
function longNewRoot(site: Site, changes: readonly Change[]): Chord | null {
  for (const change of changes) {
    const { harmony, at, length } = change;
    if (harmony.kind !== 'chord') continue;
    const bar = barAt(site, at);
    if (!bar || length < bar.length) continue;
    const foreign = writtenUnder(site, change).some(
      ({ chord }) => chromaOf(harmony.root) !== chromaOf(chord.root) && !standsFor(harmony, chord),
    );
    if (foreign) return harmony;
  }
  return null;
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
    if (!inKey(site, to.root) || !inKey(site, to.root + thirdOf(to.quality))) return true;
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

/** Whether a pitch class belongs to the local key: major, or natural minor with its raised sixth and seventh. */
export function inKey(site: Pick<Site, 'key'>, pc: Spelled): boolean {
  const above = modulo(chromaOf(pc) - chromaOf(site.key.tonic), 12);
  return (((site.key.mode === 'major' ? IN_MAJOR : IN_MINOR) >> above) & 1) === 1;
}

function addressIn(site: Site, at: number): { bar: number; beat: number } {
  const bar = barAt(site, at);
  if (!bar) return { bar: site.span.startBar, beat: site.span.startBeat };
  return { bar: bar.index + 1, beat: (at - bar.start) / beatTicks(bar.meter) + 1 };
}
