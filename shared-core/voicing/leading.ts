import type { Chord, ChordQuality } from '../chord/model.ts';
import { pairTable } from '../chord/pair-table.ts';
import { type Chroma, modulo } from '../pitch/spelled.ts';

/** How four voices move from one chord to the next at best. */
export interface Motion {
  /** Least total semitones over the four voices. */
  readonly semitones: number;
  /** Voices that can stay where they are. */
  readonly common: number;
  /** Guide tones (third or its suspension, seventh or sixth) that stay or move by a semitone or a tone. */
  readonly guideSteps: number;
  /** Guide tones compared: one for triads, two otherwise. */
  readonly guideMoves: number;
}

/** What a quality contributes to leading: four voices and its guide tones, in semitones above the root. */
interface Frame {
  readonly voices: readonly number[];
  readonly guides: readonly number[];
}

const frames = new WeakMap<ChordQuality, Frame>();

/**
 * The best four-voice motion between two chords, octaves aside: every chord is taken as four voices
 * (root, third or suspension, fifth, seventh or sixth; a triad doubles its root), and the voices are
 * matched so that their semitones add up to the least. On a circle the best matching of two sorted sets
 * is one of their rotations, so four are compared. The bass is left out: it belongs to the bass player.
 *
 * Rule: common tones stay and the others move as little as they can (common practice, no source).
 *
 * @example leastMotion(Dm7, G7).semitones // 3: C to B, A to G, D and F stay
 */
export const leastMotion: (from: Chord, to: Chord) => Motion = pairTable((from, to, up) =>
  measure(frameOf(from), frameOf(to), up),
);

function frameOf(quality: ChordQuality): Frame {
  const known = frames.get(quality);
  if (known) return known;
  const at = (numbers: readonly number[]): number | null => {
    const index = quality.degrees.findIndex((degree) => numbers.includes(degree.number));
    return index < 0 ? null : modulo(quality.semitones[index] ?? 0, 12);
  };
  const third = at([3]) ?? at([4]) ?? at([2]) ?? at([11]);
  const seventh = at([7]) ?? at([6]);
  const voices = [0, third ?? 0, at([5]) ?? seventh ?? 7, seventh ?? 0].sort((a, b) => a - b);
  const guides = [third, seventh].filter((voice): voice is number => voice !== null);
  const frame = { voices, guides };
  frames.set(quality, frame);
  return frame;
}

function measure(from: Frame, to: Frame, up: number): Motion {
  const target = to.voices.map((voice) => modulo(voice + up, 12)).sort((a, b) => a - b);
  let semitones = Number.POSITIVE_INFINITY;
  for (let turn = 0; turn < 4; turn++) {
    let total = 0;
    for (let voice = 0; voice < 4; voice++) {
      total += distance(from.voices[voice] ?? 0, target[(voice + turn) % 4] ?? 0);
    }
    if (total < semitones) semitones = total;
  }
  const common = new Set(from.voices.filter((voice) => target.includes(voice))).size;
  const arrivals = to.guides.map((guide) => modulo(guide + up, 12));
  const guideSteps = from.guides.filter((guide) =>
    arrivals.some((arrival) => distance(guide, arrival) <= 2),
  ).length;
  return { semitones, common, guideSteps, guideMoves: from.guides.length };
}

/** Semitones between two pitch classes the short way round, 0-6. */
export function distance(a: Chroma, b: Chroma): number {
  const up = modulo(b - a, 12);
  return Math.min(up, 12 - up);
}
