import { modulo } from '../pitch/spelled.ts';
import { CLASS, canBeTonic, isDominantClass, isMajorClass, isMinorClass } from './facts.ts';
import type { Runs } from './runs.ts';
import { ARC, REST } from './weights.ts';

/**
 * The grammar of preparation: which chord each chord leads to. Every chord but a place of rest prepares
 * a later one, and no two arcs cross: right-headed trees in the manner of Steedman (1984) and Rohrmeier
 * (2020). The rules proper to the grammar (dominant to its target, two to five and their kin) stand in
 * {@link arcGain}; devices add their own through `extra`.
 */
export interface GrammarInput {
  readonly runs: Runs;
  /** Key number of every run. */
  readonly keys: Uint8Array;
  /** Key number of the tune. */
  readonly home: number;
  /** Whether the form is a blues: then I7 is a place of rest. */
  readonly blues: boolean;
  /** Gain a device gives to the arc from run `from` to run `to`; 0 for none. */
  readonly extra: (from: number, to: number) => number;
}

/** What the parse gains when a run is a place of rest. */
export function restGain(input: GrammarInput, run: number): number {
  const { runs, keys, home } = input;
  const root = runs.root[run] ?? -1;
  const kind = runs.kind[run] ?? 0;
  if (root < 0) return REST.silence;
  const key = keys[run] ?? home;
  if (isTonic(root, kind, key)) return key === home ? REST.home : REST.localHome;
  const degree = modulo(root - (key >> 1), 12);
  if (isBluesFour(input, run)) return REST.bluesFour;
  if (input.blues && degree === 0 && isDominantClass(kind)) {
    return leavesForFour(runs, run) ? REST.other : REST.bluesHome;
  }
  const third = key % 2 === 0 ? 4 : 3;
  const sixth = key % 2 === 0 ? 9 : 8;
  const substitute = degree === third || degree === sixth;
  return substitute && (isMinorClass(kind) || isMajorClass(kind)) ? REST.substitute : REST.other;
}

/** IV7 of a blues sounds like a dominant and is none: it falls back to I, it does not drive on. */
function isBluesFour(input: GrammarInput, run: number): boolean {
  const { runs, keys, home } = input;
  const degree = modulo((runs.root[run] ?? 0) - (home >> 1), 12);
  return input.blues && keys[run] === home && degree === 5 && runs.kind[run] === CLASS.dom;
}

/** Whether a chord is the tonic of a key, in the key's mode. */
function isTonic(root: number, kind: number, key: number): boolean {
  const minor = key % 2 === 1;
  return root === key >> 1 && canBeTonic(kind, minor);
}

/** I7 at the end of a blues' first line: the next chord is the four, at the start of the second line. */
function leavesForFour(runs: Runs, run: number): boolean {
  const next = run + 1;
  if (next >= runs.count || (runs.strength[next] ?? 0) < 2) return false;
  return modulo((runs.root[next] ?? 0) - (runs.root[run] ?? 0), 12) === 5;
}

/** What the parse gains from the arc `from` -> `to`, `distance` places apart. */
export function arcGain(input: GrammarInput, from: number, to: number, distance: number): number {
  const { runs, keys } = input;
  const rootA = runs.root[from] ?? -1;
  const rootB = runs.root[to] ?? -1;
  const skips = ARC.perSkip * (distance - 1);
  if (rootB < 0) return Number.NEGATIVE_INFINITY;
  if (rootA < 0) return -skips;
  const kindB = runs.kind[to] ?? 0;
  const key = keys[to] ?? 0;
  const toTonic = modulo(rootB - (key >> 1), 12) === 0 && (!isDominantClass(kindB) || input.blues);
  const up = modulo(rootB - rootA, 12);
  const kindA = runs.kind[from] ?? 0;
  const atHome = isTonic(rootA, kindA, keys[from] ?? 0);
  const still = (atHome && !isDominantClass(kindB)) || (isBluesFour(input, from) && !toTonic);
  const own = still ? ARC.weak : ruleGain(kindA, kindB, up, toTonic);
  return Math.max(own, atHome ? 0 : input.extra(from, to)) - skips;
}

/** The grammar's own rules, by class of both chords and the step of the root upwards. */
function ruleGain(a: number, b: number, up: number, toTonic: boolean): number {
  if (isDominantClass(a)) return dominantGain(a, b, up, toTonic);
  if (a === CLASS.dim) return diminishedGain(b, up);
  if (isDominantClass(b)) return towardsDominant(a, up);
  if (up === 5 && isMinorClass(a) && (isMinorClass(b) || b === CLASS.hdim)) return ARC.minorFifth;
  if (up === 11 && a === b) return ARC.slide;
  if (up === 7 && toTonic) return ARC.plagal;
  if (up === 5) return a === CLASS.maj && toTonic ? ARC.fallingFifth : ARC.otherFifth;
  return ARC.weak;
}

function dominantGain(a: number, b: number, up: number, toTonic: boolean): number {
  if (up === 5) return ARC.fallingFifth;
  if (up === 0) return a === CLASS.sus && b === CLASS.dom ? ARC.suspension : ARC.weak;
  if (up === 11) return ARC.tritone;
  if (up === 2 && toTonic) return ARC.backdoor;
  if (up === 2 && isMinorClass(b)) return ARC.deceptive;
  if (up === 7 && toTonic) return ARC.plagal;
  return ARC.weak;
}

function diminishedGain(b: number, up: number): number {
  if (up === 1) return ARC.leadingTone;
  if (up === 4 && isDominantClass(b)) return ARC.diminishedToFive;
  if (up === 11) return ARC.fallingDiminished;
  if (up === 0 && b !== CLASS.dim) return ARC.commonTone;
  return ARC.weak;
}

/** Chords that lead to a dominant: two first, then the other subdominants. */
function towardsDominant(a: number, up: number): number {
  if (up === 5) return isMajorClass(a) ? ARC.otherFifth : ARC.twoFive;
  if (up === 2 || up === 11) return ARC.subdominantToFive;
  return ARC.weak;
}
