import { arcGain, type GrammarInput, restGain } from './rules.ts';
import { ARC_WINDOW } from './weights.ts';

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
