import type { Chord } from '../chord/model.ts';
import type { Key } from '../pitch/key.ts';
import { chromaOf, modulo } from '../pitch/spelled.ts';
import { addressOf } from '../tune/address.ts';
import type { Chorus, TimedHarmony } from '../tune/model.ts';
import { CLASS, canBeTonic, heard, isDominantClass, isMajorClass, isMinorClass } from './facts.ts';
import type { Arcs } from './grammar.ts';
import type { ChordReading, HarmonicFunction, Recognition } from './model.ts';
import type { Recognised } from './recognise.ts';
import { figuresHeard, numeralOf, romanOf } from './roman.ts';
import type { Runs } from './runs.ts';
import { RECOGNITION_COST } from './weights.ts';

/** A chord by itself in its key: plain numeral and function, before anything is known of its goal. */
export function baseReading(
  chorus: Chorus,
  event: TimedHarmony,
  index: number,
  localKey: Key,
  blues: boolean,
): ChordReading {
  const { bar, beat } = addressOf(chorus, event.start);
  const { harmony } = event;
  return {
    index,
    start: event.start,
    length: event.length,
    bar,
    beat,
    harmony,
    localKey,
    roman: harmony.kind === 'none' ? '' : romanOf(harmony, localKey),
    function: harmony.kind === 'none' ? 'none' : baseFunction(harmony, localKey, blues),
    prepares: null,
    device: null,
  };
}

/** Function by degree and sound alone. */
function baseFunction(chord: Chord, key: Key, blues: boolean): HarmonicFunction {
  const { root, class: kind } = heard(chord);
  const degree = modulo(root - chromaOf(key.tonic), 12);
  const minor = key.mode === 'minor';
  if (degree === 0 && (canBeTonic(kind, minor) || (blues && isDominantClass(kind)))) return 'home';
  if (degree === 0 && canBeTonic(kind, !minor)) return 'home';
  if (degree === 5 && kind === CLASS.dom) return 'departure';
  if (isDominantClass(kind) || (degree === 7 && isMajorClass(kind))) return 'dominant';
  if (kind === CLASS.dim) return degree === 11 ? 'dominant' : 'passing';
  if (isSubstitute(degree, kind, minor)) return 'home';
  return 'departure';
}

/** iii and vi stand for I, bIII and bVI for i, when they go nowhere. */
function isSubstitute(degree: number, kind: number, minor: boolean): boolean {
  return minor
    ? degree === 3 && isMajorClass(kind)
    : (degree === 4 || degree === 9) && isMinorClass(kind);
}

/** Sounding root of a chord, its bass considered; -1 for N.C. */
function rootOf(chord: ChordReading): number {
  return heard(chord.harmony).root;
}

/** Everything the last step needs. */
export interface ReadingInput {
  readonly base: readonly ChordReading[];
  readonly runs: Runs;
  readonly arcs: Arcs;
  readonly recognised: Recognised;
  readonly blues: boolean;
}

/** Puts goals, devices, numerals and functions together. */
export function readChords(input: ReadingInput): ChordReading[] {
  const withGoals = input.base.map((chord) => ({ ...chord, prepares: goalOf(input, chord) }));
  return withGoals.map((chord) => {
    const seen = deviceOf(input, chord, chord.prepares);
    const roman = secondaryRoman(withGoals, chord) ?? borrowedRoman(seen) ?? chord.roman;
    return {
      ...chord,
      roman,
      function: functionOf(withGoals, chord, seen),
      device: seen?.device ?? null,
    };
  });
}

/** The backdoor of another chord than the tonic: `bVII7/IV`. */
function borrowedRoman(seen: Recognition | null): string | null {
  return seen?.device === 'backdoor' && seen.roman?.includes('/') ? seen.roman : null;
}

/** First chord of the run this chord's run prepares; in a blues only the last I7 before IV leaves home. */
function goalOf(input: ReadingInput, chord: ChordReading): number | null {
  const { runs, arcs, blues } = input;
  const run = runs.runOf[chord.index] ?? 0;
  const goal = arcs[run] ?? -1;
  if (goal < 0 || chord.harmony.kind === 'none') return null;
  if (blues && chord.function === 'home' && chord.index + 1 !== runs.first[run + 1]) return null;
  return runs.first[goal] ?? null;
}

/** What a reading without a goal costs more where the parse has found one. */
const GOALLESS = 0.5;

/** The cheapest device reading that agrees with the parse. */
function deviceOf(
  input: ReadingInput,
  chord: ChordReading,
  prepares: number | null,
): Recognition | null {
  const { runs, recognised } = input;
  const goal = prepares === null ? -1 : (runs.runOf[prepares] ?? -1);
  const agrees = (reading: Recognition): boolean =>
    reading.prepares === null || (goal >= 0 && runs.runOf[reading.prepares] === goal);
  const across =
    prepares !== null && prepares > chord.index && goal !== (runs.runOf[chord.index] ?? 0) + 1
      ? recognised.acrossTo(chord.index, prepares)
      : [];
  const cost = (reading: Recognition): number =>
    reading.cost + (reading.prepares === null && goal >= 0 ? GOALLESS : 0);
  let best: Recognition | null = null;
  for (const reading of [...recognised.at(chord.index), ...across]) {
    if (reading.cost > RECOGNITION_COST.named || !agrees(reading)) continue;
    if (best === null || cost(reading) < cost(best)) best = reading;
  }
  return best;
}

/** `V7/ii`, `subV7/V`, `vii°7/ii`, `ii7/IV`; null where the plain numeral says it. */
function secondaryRoman(chords: readonly ChordReading[], chord: ChordReading): string | null {
  const { harmony, prepares, localKey } = chord;
  const goal = prepares === null ? null : (chords[prepares] ?? null);
  if (harmony.kind === 'none' || goal === null || goal.harmony.kind === 'none') return null;
  const kind = heard(harmony).class;
  const up = modulo(rootOf(goal) - rootOf(chord), 12);
  const degree = modulo(rootOf(chord) - chromaOf(localKey.tonic), 12);
  const figures = figuresHeard(harmony);
  const target = numeralOf(goal.harmony, localKey);
  if (isDominantClass(kind) && up === 5 && degree !== 7) return `V${figures}/${target}`;
  if (kind === CLASS.dom && up === 11) {
    return isTonic(goal) ? `subV${figures}` : `subV${figures}/${target}`;
  }
  if (kind === CLASS.dim && up === 1 && degree !== 11) return `vii${figures}/${target}`;
  return relatedTwo(chords, chord, goal, kind, up);
}

/** The two of a dominant that is not the key's own. */
function relatedTwo(
  chords: readonly ChordReading[],
  chord: ChordReading,
  dominant: ChordReading,
  kind: number,
  up: number,
): string | null {
  if (up !== 5 || !(kind === CLASS.min7 || kind === CLASS.min || kind === CLASS.hdim)) return null;
  if (chord.harmony.kind === 'none' || dominant.harmony.kind === 'none') return null;
  if (!isDominantClass(heard(dominant.harmony).class) || isDiatonic(chord)) return null;
  const goal = dominant.prepares === null ? null : (chords[dominant.prepares] ?? null);
  if (goal === null || goal.harmony.kind === 'none') return null;
  const step = modulo(rootOf(goal) - rootOf(dominant), 12);
  if (step !== 5 || isTonic(goal)) return null;
  return `ii${figuresHeard(chord.harmony)}/${numeralOf(goal.harmony, chord.localKey)}`;
}

function isTonic(chord: ChordReading): boolean {
  return chord.harmony.kind === 'chord' && rootOf(chord) === chromaOf(chord.localKey.tonic);
}

const MAJOR_SCALE = 0b101010110101;
const MINOR_SCALE = 0b010110101101;

/** Whether all tones of a chord belong to the scale of its key. */
function isDiatonic(chord: ChordReading): boolean {
  if (chord.harmony.kind === 'none') return false;
  const scale = chord.localKey.mode === 'major' ? MAJOR_SCALE : MINOR_SCALE;
  const shift = modulo(chromaOf(chord.harmony.root) - chromaOf(chord.localKey.tonic), 12);
  const mask = chord.harmony.quality.chromaMask;
  const turned = ((mask << shift) | (mask >> (12 - shift))) & 0xfff;
  return (turned & ~scale) === 0;
}

/** Function by device, by goal, or by sound and degree alone. */
function functionOf(
  chords: readonly ChordReading[],
  chord: ChordReading,
  seen: Recognition | null,
): HarmonicFunction {
  if (chord.harmony.kind === 'none') return 'none';
  if (drives(chords, chord)) return 'dominant';
  if (seen !== null) return seen.function;
  if (chord.prepares !== null && chord.function === 'home' && !isTonic(chord)) return 'departure';
  return chord.function;
}

/** A dominant that falls a fifth or a semitone to its goal. */
function drives(chords: readonly ChordReading[], chord: ChordReading): boolean {
  const goal = chord.prepares === null ? null : (chords[chord.prepares] ?? null);
  if (goal === null || goal.harmony.kind === 'none' || chord.harmony.kind === 'none') return false;
  const up = modulo(rootOf(goal) - rootOf(chord), 12);
  return isDominantClass(heard(chord.harmony).class) && (up === 5 || up === 11);
}
