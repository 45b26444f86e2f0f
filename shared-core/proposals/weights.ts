import type { Ticks } from '../time/meter.ts';

/**
 * Every figure the judge multiplies by, in one table, each with its reason. Change one here and the
 * whole program follows; nothing else holds a weight.
 */
export const WEIGHTS = {
  /** Shares of the score; they add up to 1. */
  score: {
    /** The melody wins (common practice, no source). */
    melodyFit: 0.2,
    /** Changes live by how the voices move. */
    voiceLeading: 0.16,
    /** The ear follows the bass: roots that fall by fifths or slide by semitones carry it. */
    bassMotion: 0.1,
    /** A leader looks first for what the trade plays there; what is rare comes after it. */
    usual: 0.16,
    /** A rub can be told to the comping, so it weighs less than a melody clash. */
    clash: 0.08,
    /** A change nobody can read in time is not played. */
    rhythm: 0.08,
    /** The job is to be different in every chorus. */
    freshness: 0.12,
    /** The leader's own history; small, so that it re-orders and never hides. */
    taste: 0.1,
  },

  bassMotion: {
    /** A fifth down, a semitone, or a bass that stays: the strongest. */
    strong: 1,
    /** A step, or a fifth up as from four minor home. */
    step: 0.85,
    /** A third, as from one to six. */
    third: 0.65,
    /** A tritone, which leads nowhere by itself. */
    tritone: 0.35,
  },

  melody: {
    /** Chord tone, available tension, avoid note, clash: how much each spoils a note. */
    penalty: { 'chord-tone': 0, tension: 0.08, avoid: 0.45, clash: 1 },
    /** Stress by metric weight 0-4: what falls on the bar line is heard most. */
    stress: [0.4, 0.6, 1, 1.25, 1.5],
    /** A note shorter than a beat, off the strong beats, passes by: it counts a quarter and never rejects. */
    passing: 0.25,
  },

  voiceLeading: {
    /** Mean semitones a change at which the figure reaches zero: four voices by a major third each. */
    worstMean: 12,
    /** Part of the figure that looks at guide tones alone. */
    guideShare: 0.4,
  },

  clash: {
    /** How much of the figure each verdict keeps. */
    'fine over the top': 1,
    'tell the rhythm section': 0.65,
    'the band must follow': 0.4,
  },

  rhythm: {
    /** About two changes a bar up to 160, one above 220 (estimates from playing; adjustable, no source). */
    readable: [
      { upTo: 160, perBar: 2 },
      { upTo: 220, perBar: 1.5 },
      { upTo: Number.POSITIVE_INFINITY, perBar: 1 },
    ],
    /** What each change a bar over the readable number costs. */
    over: 0.5,
    /** Tempo taken where a tune names none. */
    usualTempo: 140,
  },

  tension: {
    /** Each chord tone outside the local key. */
    outside: 0.13,
    /** A dominant pulls, even inside the key. */
    dominant: 0.15,
    /** A diminished or augmented chord pulls without a bass to say where. */
    symmetric: 0.1,
    /** Each fifth that the root lies from the tonic, the short way round the circle. */
    perFifth: 0.03,
    /** A departure inside the key is still a departure. */
    away: 0.06,
  },

  freshness: {
    /** Same device at the same place in the chorus next door; further choruses fade by `fade` each. */
    samePlace: 1,
    /** Same device elsewhere in the same or a neighbouring chorus. */
    sameDevice: 0.35,
    /** Another degree of the device is heard as half as much the same. */
    otherDegree: 0.5,
    fade: 0.5,
  },

  taste: {
    /** Decisions the prior counts for: eight must pile up before history outweighs it. */
    prior: 4,
    /** Never below this share of a device's usual weight: history re-orders, it does not hide. */
    floor: 0.2,
  },

  arc: {
    /** What a whole chorus at intensity 5 wants changed of its static time; intensity 0 wants nothing. */
    fullShare: 1,
    /** Reward for a tension near the chorus' intensity. */
    tensionMatch: 0.6,
    /** Price of stating one device at one span in two neighbouring choruses. */
    repeat: 0.45,
    /** Reward for the last chorus doing at a span what the first does. */
    homecoming: 0.25,
    /** Worth of leaving a span plain where the chorus wants calm; falls as intensity rises. */
    calm: 0.75,
    /** Least and most of all static time that stays plain over an arrangement, unless overruled. */
    plainLeast: 0.25,
    plainMost: 0.5,
  },
} as const;

/** Changes a bar that players can read at a tempo (counted beats a minute). */
export function readablePerBar(tempo: number): number {
  const row = WEIGHTS.rhythm.readable.find(({ upTo }) => tempo <= upTo);
  return row ? row.perBar : 1;
}

/** Rounds a figure for print and comparison: three places, so that ids and orders never hang on the last bit. */
export function rounded(value: number): number {
  return Math.round(value * 1000) / 1000;
}

/** Largest common grid of a list of tick lengths, used by the arc's budget; 1 for an empty list. */
export function commonGrid(lengths: readonly Ticks[]): Ticks {
  const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));
  return lengths.reduce((grid, length) => gcd(length, grid), 0) || 1;
}
