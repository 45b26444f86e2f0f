/**
 * Every figure the analysis weighs with, in one place. The figures are judgements in the units named
 * beside them, set by the rules of the trade and checked against open corpora by `npm run evaluate`;
 * none of them is fitted to a single tune.
 */

/**
 * Scale of {@link Recognition.cost}: what a device asks for a reading. Lower is more likely.
 * A reading dearer than `ceiling` is never chosen.
 */
export const RECOGNITION_COST = {
  /** Textbook case: the tritone substitute a semitone above its target, on the weak half of the bar. */
  certain: 0.2,
  /** The usual reading, though another is possible. */
  likely: 0.6,
  /** One of several readings. */
  possible: 1.2,
  /** Only when nothing else explains the chord. */
  lastResort: 2,
  /** A dearer reading helps the parse, but the chord is called plain: the two of the key's own five. */
  named: 1,
  ceiling: 2,
} as const;

/**
 * Classes of chord the key finder tells apart, and their column in {@link MAJOR_FIT} and {@link MINOR_FIT}.
 * A tonic-like minor (m6, mMaj7) is another thing than a two-like one (m7), a plain triad than a maj7.
 */
export const CHORD_CLASSES = [
  'maj',
  'maj7',
  'min',
  'min7',
  'min6',
  'dom',
  'hdim',
  'dim',
  'aug',
  'sus',
  'power',
] as const;

/** One of {@link CHORD_CLASSES}. */
export type ChordClass = (typeof CHORD_CLASSES)[number];

/**
 * How well a chord sits in a major key, by semitones of its root above the tonic (row) and class
 * (column): 1 and more belongs at the heart of the key, 0 says nothing, below 0 speaks against it.
 * Diatonic chords first, then the usual borrowings (iv, bVII7, bVI, bII7), then secondary dominants.
 */
export const MAJOR_FIT: readonly (readonly number[])[] = [
  //      maj  maj7  min  min7  min6   dom  hdim  dim   aug   sus power
  /* I  */ [1.2, 1.4, -0.7, -0.8, -0.7, 0.4, -0.8, 0.1, 0.3, 0.2, 0.8],
  /* bII*/ [-0.6, -0.1, -1.0, -0.8, -0.8, 0.2, -0.8, 0.1, -0.6, -0.5, -0.6],
  /* II */ [0.0, -0.8, 0.6, 0.9, 0.2, 0.3, 0.2, -0.1, 0.0, 0.2, 0.1],
  /*bIII*/ [-0.3, 0.0, -0.8, -0.3, -0.6, 0.0, -0.8, 0.2, -0.5, -0.4, -0.4],
  /*III */ [-0.3, -1.0, 0.4, 0.5, -0.3, 0.1, 0.1, 0.0, 0.0, -0.1, 0.0],
  /* IV */ [0.6, 0.7, 0.2, 0.2, 0.4, 0.3, -0.5, -0.2, 0.0, 0.0, 0.4],
  /*#IV */ [-1.0, -1.0, -1.0, -0.5, -0.8, -0.2, 0.2, 0.3, -0.6, -0.6, -0.8],
  /* V  */ [0.5, -0.4, -0.2, 0.0, -0.4, 1.0, -0.2, 0.0, 0.6, 0.8, 0.5],
  /*bVI */ [-0.1, 0.1, -0.9, -0.8, -0.9, 0.1, -0.9, 0.0, -0.5, -0.4, -0.4],
  /* VI */ [-0.3, -0.9, 0.5, 0.6, -0.1, 0.3, 0.0, 0.0, 0.0, 0.0, 0.1],
  /*bVII*/ [0.0, 0.0, -0.5, -0.3, -0.6, 0.3, -0.9, -0.4, -0.5, 0.0, 0.0],
  /*VII */ [-0.6, -1.0, -0.4, -0.2, -0.6, 0.0, 0.4, 0.4, -0.4, -0.4, -0.4],
];

/** As {@link MAJOR_FIT}, for a minor key (natural, harmonic and melodic minor together). */
export const MINOR_FIT: readonly (readonly number[])[] = [
  //      maj  maj7  min  min7  min6   dom  hdim  dim   aug   sus power
  /* I  */ [-0.3, -0.8, 1.3, 1.0, 1.4, 0.0, -0.3, -0.1, -0.4, 0.1, 0.7],
  /* bII*/ [0.0, 0.1, -1.0, -0.8, -0.8, 0.2, -0.8, 0.0, -0.6, -0.5, -0.6],
  /* II */ [-0.3, -1.0, -0.3, 0.0, -0.5, 0.3, 1.0, 0.3, -0.2, -0.1, 0.0],
  /*bIII*/ [0.5, 0.5, -0.9, -0.9, -0.9, 0.0, -0.8, -0.1, 0.4, -0.1, 0.2],
  /*III */ [-0.9, -1.0, -0.8, -0.8, -0.8, -0.4, -0.2, 0.1, -0.5, -0.7, -0.7],
  /* IV */ [-0.1, -0.5, 0.8, 0.7, 0.6, 0.3, -0.4, -0.1, -0.3, 0.0, 0.3],
  /*#IV */ [-0.9, -1.0, -0.9, -0.7, -0.9, 0.0, 0.2, 0.3, -0.6, -0.6, -0.8],
  /* V  */ [0.4, -0.7, 0.0, 0.1, -0.4, 1.0, 0.0, 0.1, 0.6, 0.7, 0.4],
  /*bVI */ [0.5, 0.6, -0.9, -0.9, -0.9, 0.4, -0.9, -0.2, -0.3, -0.2, 0.1],
  /* VI */ [-0.7, -1.0, -0.7, -0.6, -0.7, -0.1, 0.4, 0.2, -0.5, -0.4, -0.4],
  /*bVII*/ [0.3, 0.0, -0.5, -0.2, -0.6, 0.4, -0.8, -0.4, -0.4, 0.2, 0.2],
  /*VII */ [-0.9, -1.0, -0.9, -0.9, -0.9, -0.3, 0.0, 0.7, -0.5, -0.7, -0.7],
];

/** Evidence of motion for a key, in the unit of the fit tables. */
export const MOTION = {
  /** V7 to I: the strongest sign of a key there is. */
  fiveOne: 1.3,
  /** A plain V triad or a suspended V to I. */
  plainFiveOne: 0.9,
  /** ii to V7, before it is known whether V arrives. */
  twoFive: 0.7,
  /** bVII7 to I. */
  backdoor: 0.5,
  /** bII7 to I. */
  tritone: 0.7,
  /** vii diminished to I. */
  leadingTone: 0.6,
  /** IV or iv to I. */
  plagal: 0.35,
  /** A dominant falling to another dominant: of V, in the key of that V. */
  dominantToFive: 0.3,
} as const;

/** A chord held this long makes itself a home (modal stretches), whatever key it could also belong to. */
export const HELD = {
  /** Bars from which it counts. */
  from: 3,
  /** Gain for every bar past that, for the key of which the chord is the tonic. */
  perBar: 0.5,
  /** The most it can gain. */
  most: 3,
} as const;

/** A section says its key with its first chord: gain for the key of which that chord can be the tonic. */
export const SECTION_OPENS = 1;

/** How sure a chord makes us that the tune's own key reigns there. */
export const HOME_ANCHOR = {
  /** The tonic chord against all others. */
  tonic: 10,
  /** For each degree of metric strength (0-3). */
  perStrength: 0.5,
  /** Below this fit no chord is sure enough. */
  least: 0.3,
} as const;

/** The price of leaving one key for another, in the unit of the fit tables. */
export const MODULATION = {
  price: 4.2,
  /** Taken off where the other key shares most of the scale (relative, or a fifth away) or the tonic. */
  related: 0.6,
  /** Times the price where a section starts: a bridge is where tunes go elsewhere. */
  atSectionStart: 0.5,
  /** Taken from every chord in a key that is not the tune's own. */
  awayFromHome: 0.05,
} as const;

/** Weights of the signs that point at the key of a whole tune; see `tune-key.ts`. */
export const TUNE_KEY = {
  /** Mean fit of all chords, by length. */
  fit: 5,
  /** Share of the form spent on a chord that could be the tonic. */
  tonicShare: 2,
  /** The same for a dominant seventh: the blues tonic. */
  bluesTonicShare: 2.8,
  /** Cadences and twos, by metrical place. */
  motion: 5,
  /** The first chord is the tonic: major, minor triad or m6, m7, dominant (blues). */
  firstMajor: 2.8,
  firstMinor: 2.8,
  firstMinorSeventh: 2.8,
  firstDominant: 2.2,
  /** A first minor chord that goes straight to the dominant a fifth below is a two, hardly ever a one. */
  opensAsTwo: -1.5,
  /** A first dominant seventh is no blues tonic when the form comes to rest on another root. */
  opensOnTheWay: -1.5,
  /** The last chord is the tonic, told apart as above; a last dominant says nothing. */
  lastMajor: 0.6,
  lastMinor: 1.2,
  lastMinorSeventh: 2,
  /** The last chord that rests, before any turnaround, is the tonic. */
  closing: 1.7,
  /** The last chord that rests before the top comes back is the tonic. */
  beforeReturn: 0.6,
  /** Minor keys are rarer than major ones. */
  minor: -1.3,
  /** The last chord a dominant brings home. */
  finalArrival: 0.7,
  /** Chords that open sections. */
  sectionOpens: 0.5,
  /** Chords that rest at the end of a section, before the next one opens. */
  sectionCloses: 0.8,
  /** The fixed points of a blues stand where they should. */
  blues: 1.6,
} as const;

/** Where the signs of {@link TUNE_KEY} look, in bars and chords. */
export const KEY_PLACES = {
  /** A first dominant held this many bars makes itself a home, wherever the form comes to rest. */
  heldOpening: 4,
  /** The shortest phrase, in bars, after which the first chords coming again are the top coming back. */
  phraseBars: 4,
  /** The longest turnaround, in chords, looked past for the chord that rests before it. */
  turnaroundChords: 4,
} as const;

/**
 * Gains of the grammar: how glad the parse is of an arc from a chord to the chord it prepares. The
 * order follows Steedman (1984) and Rohrmeier (2020): dominants first, then their substitutes, then
 * twos, then the other subdominants. Unit: an ordinary V-I is 3.
 */
export const ARC = {
  /** Dominant falling a fifth (V-I, and each link of a chain of dominants). */
  fallingFifth: 2.6,
  /** Two to five. */
  twoFive: 3,
  /** A suspended dominant settling on its own root. */
  suspension: 3,
  /** Dominant a semitone above its target. */
  tritone: 2.4,
  /** Dominant a tone below a home chord. */
  backdoor: 2,
  /** Dominant rising a tone to a minor chord: V to vi, the deceptive cadence. */
  deceptive: 2.8,
  /** Diminished a semitone under its target. */
  leadingTone: 2.4,
  /** Diminished a semitone above its target. */
  fallingDiminished: 1.4,
  /** Diminished a major third under a dominant: its own dominant without the root (biii diminished to V). */
  diminishedToFive: 2,
  /** Same root, diminished to major or dominant. */
  commonTone: 1.2,
  /** Minor chords falling by fifths (iii-vi-ii). */
  minorFifth: 1.5,
  /** A major or minor chord going to V by step or semitone: IV-V, bVI-V, iv-V. */
  subdominantToFive: 1.9,
  /** The same quality sliding a semitone down. */
  slide: 2.2,
  /** IV or iv to I. */
  plagal: 1.4,
  /** A tonic-like chord falling a fifth to anything but its own dominant use. */
  otherFifth: 1.5,
  /** Any other step: a chord of the phrase that goes somewhere. */
  weak: 0.3,
  /** Taken off for every chord stepped over. */
  perSkip: 0.28,
  /** What a device's recognition gains less its cost. */
  recognised: 3.4,
} as const;

/** What the parse gains when a chord prepares nothing: it is a place of rest. */
export const REST = {
  /** The tonic of the tune. */
  home: 2.6,
  /** The tonic of a local key. */
  localHome: 1.4,
  /** I7 of a blues, but for the one that leads into the second line. */
  bluesHome: 4.5,
  /** IV7 of a blues. */
  bluesFour: 1.2,
  /** A tonic substitute: iii, vi. */
  substitute: 0.3,
  /** N.C.: an arc may pass over a break. */
  silence: 0,
  /** Anything else. */
  other: -0.8,
} as const;

/** The longest stretch, in runs of chords, one arc may span; keeps the parse linear in the length of the form. */
export const ARC_WINDOW = 16;

/**
 * The fixed points of a twelve-bar blues, as shares of 1. Bar 1 home and bar 5 the four must stand; the
 * others add up. Source: the fixed points on which the published forms agree (OnMusic Dictionary,
 * "12-bar minor blues"; Jacobs 2011 in "Bird changes"; The Blues, course lecture).
 */
export const BLUES = {
  /** Bars 1 and 5 alone. */
  base: 0.3,
  /** Each of bars 2, 3 and 4 on I or IV. */
  early: 0.06,
  /** Bar 6 still on the four (or its sharp diminished, or iv). */
  six: 0.08,
  /** Bar 7 on I, or on iii for it. */
  seven: 0.14,
  /** Bar 10, or 9, on V; or ii in bar 9 followed by a dominant. */
  five: 0.2,
  /** Only ii there. */
  twoOnly: 0.12,
  /** Home in bar 11 or 12. */
  home: 0.14,
  /** I7 or IV7 sounded as a dominant seventh, or both minor. */
  sound: 0.1,
  /** From here on the form is called a blues. */
  threshold: 0.7,
} as const;
