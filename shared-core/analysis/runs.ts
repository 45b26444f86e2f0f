import type { Chorus } from '../tune/model.ts';
import { heard } from './facts.ts';

/**
 * The chorus as the key finder and the grammar see it: runs of one heard chord, as parallel typed
 * arrays. A run may take in several written chords (`Cmaj7 | C6`). Index = place in time.
 */
export interface Runs {
  readonly count: number;
  /** Sounding root 0-11; -1 for N.C. */
  readonly root: Int8Array;
  /** Class number, see `facts.ts`. */
  readonly kind: Uint8Array;
  /** Length in bars (of the bar each starts in), fractions allowed: a weight, never a place. */
  readonly bars: Float64Array;
  /** Metric strength of the start: 3 section, 2 odd bar of its section (1, 3, 5 ...), 1 bar line, 0 inside. */
  readonly strength: Uint8Array;
  /** 1 where a section starts inside the run or at its start. */
  readonly opensSection: Uint8Array;
  /** First written chord of the run, and of the next: run r holds chords first[r] .. first[r + 1] - 1. */
  readonly first: Int32Array;
  /** Run of each written chord. */
  readonly runOf: Int32Array;
}

/** Gathers the written chords of a chorus into runs. */
export function runsOf(chorus: Chorus): Runs {
  const total = chorus.harmony.length;
  const root = new Int8Array(total);
  const kind = new Uint8Array(total);
  const bars = new Float64Array(total);
  const strength = new Uint8Array(total);
  const opensSection = new Uint8Array(total);
  const first = new Int32Array(total + 1);
  const runOf = new Int32Array(total);
  let count = 0;
  let bar = 0;
  let sectionBar = 0;
  chorus.harmony.forEach((event, index) => {
    while (bar + 1 < chorus.bars.length && (chorus.bars[bar + 1]?.start ?? 0) <= event.start) {
      bar += 1;
      if (chorus.bars[bar]?.startsSection) sectionBar = bar;
    }
    const here = chorus.bars[bar];
    const sound = heard(event.harmony);
    const continues =
      count > 0 && root[count - 1] === sound.root && kind[count - 1] === sound.class;
    if (!continues) {
      root[count] = sound.root;
      kind[count] = sound.class;
      first[count] = index;
      strength[count] = here?.start !== event.start ? 0 : startStrength(bar - sectionBar);
      count += 1;
    }
    runOf[index] = count - 1;
    bars[count - 1] = (bars[count - 1] ?? 0) + event.length / (here?.length || event.length || 1);
    if (here?.startsSection && here.start === event.start) opensSection[count - 1] = 1;
  });
  first[count] = total;
  return { count, root, kind, bars, strength, opensSection, first, runOf };
}

function startStrength(barOfSection: number): number {
  if (barOfSection === 0) return 3;
  return barOfSection % 2 === 0 ? 2 : 1;
}
