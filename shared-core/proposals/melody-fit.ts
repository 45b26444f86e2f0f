import { symbolOf } from '../chord/format.ts';
import type { Chord, ChordQuality } from '../chord/model.ts';
import type { Change, Site } from '../devices/model.ts';
import { chromaOf, modulo } from '../pitch/spelled.ts';
import { beatTicks, metricWeight } from '../time/meter.ts';
import type { FormBar, TimedNote } from '../tune/model.ts';
import { isWritten } from './clash.ts';
import type { MelodyFinding, MelodyFit } from './model.ts';
import { rounded, WEIGHTS } from './weights.ts';

type Fit = MelodyFinding['fit'];

const PERFECT: MelodyFit = { score: 1, findings: [], worst: null };
const tables = new WeakMap<ChordQuality, readonly Fit[]>();

/** Tensions a dominant takes, in semitones above its root: b9 9 #9 #11 b13 13 (Levine-style chord-scale practice; common practice, no source). */
const DOMINANT_TENSIONS = new Set([1, 2, 3, 6, 8, 9]);

/**
 * How a melody note sits on a chord.
 *
 * Rules: a chord tone is at home; a semitone above a chord tone (a minor ninth) clashes; a dominant takes
 * flat and sharp nine, sharp eleven and flat thirteen; a natural four over a dominant is an avoid note (it
 * wants the suspended chord); the flat seventh against a major seventh clashes. Common practice, no source.
 *
 * @param semitones pitch class of the note above the chord's root, 0-11
 */
export function fitOn(quality: ChordQuality, semitones: number): Fit {
  let table = tables.get(quality);
  if (!table) {
    table = Array.from({ length: 12 }, (_, above) => judgeNote(quality, above));
    tables.set(quality, table);
  }
  return table[semitones] ?? 'clash';
}

function judgeNote(quality: ChordQuality, above: number): Fit {
  const has = (semitone: number): boolean =>
    ((quality.chromaMask >> modulo(semitone, 12)) & 1) === 1;
  if (quality.alt) return judgeOverAltered(above);
  if (has(above)) return 'chord-tone';
  if (quality.family === 'dominant') {
    if (above === 11) return 'clash';
    if (above === 5 || above === 7) return 'avoid';
    return DOMINANT_TENSIONS.has(above) ? 'tension' : 'clash';
  }
  if (quality.family === 'suspended') {
    if (above === 4) return 'avoid';
    if (above === 1 && has(10)) return 'tension';
  }
  if (has(above - 1)) return 'clash';
  if (above === 10 && has(11)) return 'clash';
  if (above === 3 && has(4)) return 'avoid';
  return 'tension';
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
  for (const change of changes) {
    if (change.harmony.kind !== 'chord' || isWritten(site, change)) continue;
    collect(site, change, change.harmony, findings);
  }
  return findings.length === 0 ? PERFECT : summed(findings);
}

function collect(site: Site, change: Change, chord: Chord, findings: MelodyFinding[]): void {
  const end = change.at + change.length;
  site.melody.forEach((note, index) => {
    if (note.start >= end || note.start + note.length <= change.at) return;
    const sounding = Math.min(note.start + note.length, end) - Math.max(note.start, change.at);
    const above = modulo(chromaOf(note.pitch.pc) - chromaOf(chord.root), 12);
    const weight = weightOf(site, note, sounding, site.melody[index - 1]);
    findings.push({
      note,
      fit: fitOn(chord.quality, above),
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
  const bar = barAt(site.bars, note.start);
  return bar ? metricWeight(bar.meter, note.start - bar.start) : 4;
}

function barAt(bars: readonly FormBar[], at: number): FormBar | undefined {
  return bars.find((bar) => at >= bar.start && at < bar.start + bar.length);
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
