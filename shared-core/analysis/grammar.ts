import { modulo } from '../pitch/spelled.ts';
import { CLASS, canBeTonic, isDominantClass, isMajorClass, isMinorClass } from './facts.ts';
import type { Runs } from './runs.ts';
import { ARC, ARC_WINDOW, REST } from './weights.ts';

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

/** Result: for every run the run it prepares, -1 for a place of rest. */
export type Arcs = Int32Array;

/**
 * The best set of arcs around the form. The circle is cut after its strongest place of rest, so that
 * no arc has to cross the cut; then the best parse of what is left is found exactly within
 * {@link ARC_WINDOW}. Time: runs x window x window.
 */
export function parseArcs(input: GrammarInput): Arcs {
  const { runs } = input;
  const count = runs.count;
  const heads = new Int32Array(count).fill(-1);
  if (count < 2) return heads;
  const cut = strongestRest(input);
  const at = (place: number): number => (cut + 1 + place) % count;
  const width = Math.min(ARC_WINDOW, count);
  const parse = new Parse(input, at, count, width);
  parse.fill();
  parse.readBack(heads);
  return heads;
}

/**
 * What a set of arcs is worth, counted in the order of the form cut after `cut`: the sum that
 * {@link parseArcs} makes as great as it can be.
 */
export function gainOfArcs(input: GrammarInput, arcs: Arcs, cut: number): number {
  const { count } = input.runs;
  const place = (run: number): number => (run - cut - 1 + 2 * count) % count;
  let gain = 0;
  for (let run = 0; run < count; run += 1) {
    const goal = arcs[run] ?? -1;
    gain += goal < 0 ? restGain(input, run) : arcGain(input, run, goal, place(goal) - place(run));
  }
  return gain;
}

/** The run after which the circle is cut: the best home; the latest of equals. */
export function strongestRest(input: GrammarInput): number {
  let best = input.runs.count - 1;
  let bestGain = Number.NEGATIVE_INFINITY;
  for (let run = 0; run < input.runs.count; run += 1) {
    const gain = restGain(input, run) + 0.1 * Math.min(input.runs.bars[run] ?? 0, 4);
    if (gain >= bestGain) {
      best = run;
      bestGain = gain;
    }
  }
  return best;
}

/** Tables of the parse over places 0 .. count-1 of the cut circle. */
class Parse {
  private readonly input: GrammarInput;
  private readonly at: (place: number) => number;
  private readonly count: number;
  private readonly width: number;
  /** score[j * width + l]: the best parse of places j-l .. j with all of them under j. */
  private readonly score: Float64Array;
  /** split[j * width + l]: length of the leftmost part, which is headed by its own last place. */
  private readonly split: Int16Array;

  constructor(input: GrammarInput, at: (place: number) => number, count: number, width: number) {
    this.input = input;
    this.at = at;
    this.count = count;
    this.width = width;
    this.score = new Float64Array(count * width).fill(Number.NEGATIVE_INFINITY);
    this.split = new Int16Array(count * width);
  }

  /** Fills the tables from left to right. */
  fill(): void {
    const gains = new Float64Array(this.width);
    for (let j = 0; j < this.count; j += 1) {
      this.score[j * this.width] = 0;
      const most = Math.min(j, this.width - 1);
      for (let back = 1; back <= most; back += 1) {
        gains[back] = arcGain(this.input, this.at(j - back), this.at(j), back);
      }
      this.fillUnder(j, most, gains);
    }
  }

  /** All stretches under j: places j-l .. j, whose leftmost child k of j covers j-l .. k. */
  private fillUnder(j: number, most: number, gains: Float64Array): void {
    const { score, split, width } = this;
    const row = j * width;
    for (let l = 1; l <= most; l += 1) {
      let best = Number.NEGATIVE_INFINITY;
      let bestLeft = 1;
      for (let left = 1; left <= l; left += 1) {
        const back = l - left + 1;
        const under = score[(j - back) * width + left - 1] ?? 0;
        const total = under + (gains[back] ?? 0) + (score[row + l - left] ?? 0);
        if (total > best) {
          best = total;
          bestLeft = left;
        }
      }
      score[row + l] = best;
      split[row + l] = bestLeft;
    }
  }

  /** Cuts the whole into constituents under places of rest and writes the heads. */
  readBack(heads: Int32Array): void {
    const total = new Float64Array(this.count + 1);
    const size = new Int32Array(this.count + 1);
    for (let j = 0; j < this.count; j += 1) {
      const rest = restGain(this.input, this.at(j));
      total[j + 1] = Number.NEGATIVE_INFINITY;
      for (let l = 0; l <= Math.min(j, this.width - 1); l += 1) {
        const score = (total[j - l] ?? 0) + (this.score[j * this.width + l] ?? 0) + rest;
        if (score > (total[j + 1] ?? 0)) {
          total[j + 1] = score;
          size[j + 1] = l;
        }
      }
    }
    for (let j = this.count - 1; j >= 0; ) {
      const l = size[j + 1] ?? 0;
      this.attach(j, l, heads);
      j -= l + 1;
    }
  }

  private attach(j: number, l: number, heads: Int32Array): void {
    let left = l;
    while (left > 0) {
      const part = this.split[j * this.width + left] ?? 1;
      const k = j - left + part - 1;
      heads[this.at(k)] = this.at(j);
      this.attach(k, part - 1, heads);
      left -= part;
    }
  }
}

/** What the parse gains when a run is a place of rest. */
function restGain(input: GrammarInput, run: number): number {
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
function arcGain(input: GrammarInput, from: number, to: number, distance: number): number {
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
