import { symbolOf } from '../chord/format.ts';
import type { Chord, ChordQuality } from '../chord/model.ts';
import { barAt } from '../devices/grid.ts';
import type { Site } from '../devices/model.ts';
import { chromaOf, modulo } from '../pitch/spelled.ts';
import { beatTicks, metricWeight, type Ticks } from '../time/meter.ts';
import type { TimedNote } from '../tune/model.ts';
import type { Departure } from './clash.ts';
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

/** What the melody does over one chord of a rewrite. */
export interface MelodyOver {
  readonly findings: readonly MelodyFinding[];
  /** Whether a tested note clashes. */
  readonly forbidden: boolean;
}

const SILENT: MelodyOver = { findings: [], forbidden: false };

/**
 * The melody over one chord of a rewrite, note by note. Only where the rewrite departs from what is
 * written is it looked at: the tune's own clashes are its own.
 *
 * A note is *tested* when it is a beat or longer, stands on a strong beat or first in its bar, or repeats
 * the note before it; tested notes carry the weight, and a tested clash is what rejects.
 *
 * @param falls whether the chord's root falls a fifth into what comes next
 */
export function melodyOver(site: Site, departure: Departure, falls: boolean): MelodyOver {
  const { at, length, chord, departs } = departure;
  if (!departs || site.melody.length === 0) return SILENT;
  const end = at + length;
  const against = symbolOf(chord);
  const findings: MelodyFinding[] = [];
  let forbidden = false;
  site.melody.forEach((note, index) => {
    if (note.start >= end || note.start + note.length <= at) return;
    const sounding = Math.min(note.start + note.length, end) - Math.max(note.start, at);
    const above = modulo(chromaOf(note.pitch.pc) - chromaOf(chord.root), 12);
    const fit = fitOn(chord.quality, above, falls);
    const tested = isTested(site, note, site.melody[index - 1]);
    if (tested && fit === 'clash') forbidden = true;
    findings.push({ note, fit, weight: rounded(weightOf(site, note, sounding, tested)), against });
  });
  return { findings, forbidden };
}

/** Whether the root of a chord falls a fifth into the next one. */
export function fallsInto(chord: Chord, next: Chord | null): boolean {
  return next !== null && modulo(chromaOf(next.root) - chromaOf(chord.root), 12) === 5;
}

/** Melody fit of a rewrite: the melody over each of its chords, in order. */
export function melodyFit(over: readonly MelodyOver[]): MelodyFit {
  if (over.length === 0) return PERFECT;
  const findings = over.flatMap((part) => part.findings);
  return findings.length === 0 ? PERFECT : summed(findings);
}

/** Whether a tested note of the melody clashes: the melody wins, and the proposal is not made unless asked for. */
export function melodyForbids(over: readonly MelodyOver[]): boolean {
  return over.some((part) => part.forbidden);
}

function weightOf(site: Site, note: TimedNote, sounding: Ticks, tested: boolean): number {
  const share = WEIGHTS.melody.stress[stressOf(site, note)] ?? 1;
  return (sounding / beatTicks(site.meter)) * share * (tested ? 1 : WEIGHTS.melody.passing);
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
