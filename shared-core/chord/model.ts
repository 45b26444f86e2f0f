import type { FifthsInterval, Spelled } from '../pitch/spelled.ts';

/** One degree of a chord above its root: b3 is {number: 3, alter: -1}; 9, 11, 13 are compound 2, 4, 6. */
export interface Degree {
  readonly number: 1 | 2 | 3 | 4 | 5 | 6 | 7 | 9 | 11 | 13;
  /** Semitones against the major scale: -2 only for the diminished seventh. */
  readonly alter: -2 | -1 | 0 | 1;
}

/** What a chord does by its sound alone, before any key is known. */
export type ChordFamily =
  | 'major'
  | 'minor'
  | 'dominant'
  | 'half-diminished'
  | 'diminished'
  | 'augmented'
  | 'suspended'
  | 'power';

/**
 * A chord quality: everything about a chord but its root and bass. Interned: two chords have the same
 * quality exactly when they hold the same object.
 */
export interface ChordQuality {
  /** Bit mask of the degrees (and of the alt mark): the identity of the quality. */
  readonly mask: number;
  /** Canonical ASCII suffix in the words spelling: '' 'm7' 'maj7' '7b9' 'm7b5' '7alt' '6/9'. */
  readonly suffix: string;
  readonly family: ChordFamily;
  /** Degrees from the root up, by size; the root first. */
  readonly degrees: readonly Degree[];
  /** Intervals above the root on the line of fifths, in the order of `degrees`. */
  readonly fifths: readonly FifthsInterval[];
  /** Semitones above the root (0-21), in the order of `degrees`. */
  readonly semitones: readonly number[];
  /** Pitch-class set above the root as twelve bits, bit 0 the root. */
  readonly chromaMask: number;
  /** True for `7alt`: guide tones are fixed, the fifth and ninth are any altered ones. */
  readonly alt: boolean;
}

/** A chord as written: root, quality, optional bass. */
export interface Chord {
  readonly kind: 'chord';
  readonly root: Spelled;
  readonly quality: ChordQuality;
  /** Bass note when written after a slash; null means the root. */
  readonly bass: Spelled | null;
  /** A whole chord in brackets: printed in brackets; sounds like any other chord (one rule for all lengths). */
  readonly optional: boolean;
}

/** `N.C.`: the rhythm section is silent and the chord before does not ring on. */
export interface NoChord {
  readonly kind: 'none';
}

/** What can stand over a beat. */
export type Harmony = Chord | NoChord;

/** Why a chord symbol was not read. `offset` is the place of the first character not understood. */
export interface ChordError {
  readonly code:
    | 'chord/empty'
    | 'chord/root'
    | 'chord/quality'
    | 'chord/bass'
    | 'chord/contradiction'
    | 'chord/too-long';
  readonly text: string;
  readonly offset: number;
}

/** The two spelling habits of print. */
export type ChordStyle = 'words' | 'signs';
