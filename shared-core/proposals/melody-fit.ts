import { symbolOf } from '../chord/format.ts';
import type { Chord, ChordQuality } from '../chord/model.ts';
import { barAt } from '../devices/grid.ts';
import type { Change, Site } from '../devices/model.ts';
import { chromaOf, modulo } from '../pitch/spelled.ts';
import { beatTicks, metricWeight } from '../time/meter.ts';
import type { TimedNote } from '../tune/model.ts';
import { isWritten } from './clash.ts';
import type { MelodyFinding, MelodyFit } from './model.ts';
import { rounded, WEIGHTS } from './weights.ts';

type Fit = MelodyFinding['fit'];

const PERFECT: MelodyFit = { score: 1, findings: [], worst: null };
/** Fits by quality: of a dominant on its way down a fifth, and of everything else. */
const falling = new WeakMap<ChordQuality, readonly Fit[]>();
const resting = new WeakMap<ChordQuality, readonly Fit[]>();

/**
 * Tensions of dominants in semitones above the root. One that falls a fifth takes b9 9 #9 #11 b13 13; one
 * that does not (backdoor, tritone substitute, four-seven) is lydian: 9 #11 13, and the blue #9 at a pinch.
 * Source: tests/reference/chord-scales.json, rows V7, subV7, bVII7, IV7.
 */
const FALLING_TENSIONS = new Set([1, 2, 3, 6, 8, 9]);
const RESTING_TENSIONS = new Set([2, 6, 9]);

/**
 * How a melody note sits on a chord.
 *
 * Rules: a chord tone is at home; a semitone above a chord tone (a minor ninth) clashes; a dominant takes
 * flat and sharp nine, sharp eleven and flat thirteen where it falls a fifth; a natural four over a dominant is an avoid note (it
 * wants the suspended chord); the flat seventh against a major seventh clashes. Common practice, no source.
 *
 * @param semitones pitch class of the note above the chord's root, 0-11
 * @param falls whether the chord's root falls a fifth into the next chord
 */
export function fitOn(quality: ChordQuality, semitones: number, falls: boolean): Fit {
  const tables = falls ? falling : resting;
  let table = tables.get(quality);
  if (!table) {
    table = Array.from({ length: 12 }, (_, above) => judgeNote(quality, above, falls));
    tables.set(quality, table);
  }
  return table[semitones] ?? 'clash';
}

function judgeNote(quality: ChordQuality, above: number, falls: boolean): Fit {
  const has = (semitone: number): boolean =>
    ((quality.chromaMask >> modulo(semitone, 12)) & 1) === 1;
  if (quality.alt) return judgeOverAltered(above);
  if (has(above)) return 'chord-tone';
  if (quality.family === 'dominant') return judgeOverDominant(above, falls);
  if (quality.family === 'suspended') {
    if (above === 4) return 'avoid';
    if (above === 1 && has(10)) return 'tension';
  }
  if (has(above - 1)) return 'clash';
  if (above === 10 && has(11)) return 'clash';
  if (above === 3 && has(4)) return 'avoid';
  return 'tension';
}

function judgeOverDominant(above: number, falls: boolean): Fit {
  if (above === 5 || above === 7) return 'avoid';
  if (falls) return FALLING_TENSIONS.has(above) ? 'tension' : 'clash';
  if (above === 3) return 'avoid';
  return RESTING_TENSIONS.has(above) ? 'tension' : 'clash';
}

/** Over 7alt: guide tones are at home, altered fifths and ninths are tensions, natural ninth, fourth, fifth and sixth are not there. */
function judgeOverAltered(above: number): Fit {
  if (above === 0 || above === 4 || above === 10) return 'chord-tone';
  return [1, 3, 6, 8].includes(above) ? 'tension' : 'clash';
}

/**
 * Melody fit of a rewrite, note by note. Only stretches where the rewrite departs from what is written
 * are looked at: the tune's own clashes are its own.
 *
 * A note is *tested* when it is a beat or longer, stands on a strong beat or first in its bar, or repeats
 * the note before it; tested notes carry the weight, and a tested clash is what rejects.
 */
export function melodyFit(site: Site, changes: readonly Change[]): MelodyFit {
  if (site.melody.length === 0) return PERFECT;
  const findings: MelodyFinding[] = [];
  for (const [index, change] of changes.entries()) {
    if (change.harmony.kind !== 'chord' || isWritten(site, change)) continue;
    collect(site, change, change.harmony, fallsFrom(site, changes, index), findings);
  }
  return findings.length === 0 ? PERFECT : summed(findings);
}

/** Whether the root of a change falls a fifth into what comes next. */
function fallsFrom(site: Site, changes: readonly Change[], index: number): boolean {
  const now = changes[index]?.harmony;
  const next = changes[index + 1]?.harmony ?? site.next;
  if (now?.kind !== 'chord' || next?.kind !== 'chord') return false;
  return modulo(chromaOf(next.root) - chromaOf(now.root), 12) === 5;
}

function collect(
  site: Site,
  change: Change,
  chord: Chord,
  falls: boolean,
  findings: MelodyFinding[],
): void {
  const end = change.at + change.length;
  site.melody.forEach((note, index) => {
    if (note.start >= end || note.start + note.length <= change.at) return;
    const sounding = Math.min(note.start + note.length, end) - Math.max(note.start, change.at);
    const above = modulo(chromaOf(note.pitch.pc) - chromaOf(chord.root), 12);
    const weight = weightOf(site, note, sounding, site.melody[index - 1]);
    findings.push({
      note,
      fit: fitOn(chord.quality, above, falls),
      weight: rounded(weight),
      against: symbolOf(chord),
    });
  });
}

function weightOf(
  site: Site,
  note: TimedNote,
  sounding: number,
  before: TimedNote | undefined,
): number {
  const beat = beatTicks(site.meter);
  const stress = stressOf(site, note);
  const tested = isTested(site, note, before);
  const share = WEIGHTS.melody.stress[stress] ?? 1;
  return (sounding / beat) * share * (tested ? 1 : WEIGHTS.melody.passing);
}

function isTested(site: Site, note: TimedNote, before: TimedNote | undefined): boolean {
  const repeated =
    before !== undefined &&
    before.pitch.pc === note.pitch.pc &&
    before.pitch.octave === note.pitch.octave;
  return note.length >= beatTicks(site.meter) || repeated || stressOf(site, note) >= 3;
}

/** Metric weight of a note's onset, 0-4; a note that began before the span counts as an onset on its bar line. */
function stressOf(site: Site, note: TimedNote): number {
  const bar = barAt(site, note.start);
  return bar ? metricWeight(bar.meter, note.start - bar.start) : 4;
}

function summed(findings: readonly MelodyFinding[]): MelodyFit {
  let weight = 0;
  let spoiled = 0;
  let worst: MelodyFinding | null = null;
  for (const finding of findings) {
    const loss = finding.weight * WEIGHTS.melody.penalty[finding.fit];
    weight += finding.weight;
    spoiled += loss;
    if (loss > 0 && (worst === null || loss > worst.weight * WEIGHTS.melody.penalty[worst.fit]))
      worst = finding;
  }
  return { score: weight === 0 ? 1 : rounded(1 - spoiled / weight), findings, worst };
}

/** Whether a tested note of the melody clashes: the melody wins, and the proposal is not made unless asked for. */
export function melodyForbids(site: Site, fit: MelodyFit): boolean {
  return fit.findings.some(({ note, fit: how }) => {
    if (how !== 'clash') return false;
    const index = site.melody.indexOf(note);
    return isTested(site, note, site.melody[index - 1]);
  });
}
