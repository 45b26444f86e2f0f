import { chord } from '../chord/build.ts';
import { symbolOf } from '../chord/format.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { inSignature } from '../pitch/copyist.ts';
import { type Key, signatureOf } from '../pitch/key.ts';
import { alterOf, chromaOf, nameOf, respellNear, type Spelled, spelled } from '../pitch/spelled.ts';

/**
 * Distances the devices are stated in, as places on the line of fifths: `root + UP.flatSeven` is the
 * note a minor seventh above, rightly spelled. Common practice.
 */
export const UP = {
  flatTwo: -5,
  two: 2,
  sharpTwo: 9,
  flatThree: -3,
  three: 4,
  four: -1,
  sharpFour: 6,
  flatFive: -6,
  five: 1,
  sharpFive: 8,
  flatSix: -4,
  six: 3,
  flatSeven: -2,
  seven: 5,
  sharpOne: 7,
} as const;

/** Semitones from `from` up to `to`, 0-11. */
export function semitonesUp(from: Spelled, to: Spelled): number {
  return ((((to - from) * 7) % 12) + 12) % 12;
}

/** Same sounding root and quality, however spelled and whatever the bass. */
export function sameSound(a: Chord, b: Chord): boolean {
  return a.quality === b.quality && chromaOf(a.root) === chromaOf(b.root);
}

/** The note the bass plays. */
export function bassOf(chord: Chord): Spelled {
  return chord.bass ?? chord.root;
}

/** Chords already spelled, by suffix, then by key and root. A memo of a pure function: at most a few thousand. */
const spelledChords = new Map<string, Map<number, Chord>>();

/**
 * A chord as a copyist prints it in the key. `root` says by its spelling from where the chord is seen
 * (the flat seventh of home, the sharp one on the way up); it is only respelled where print would not
 * have it. `suffix` is a canonical one of `chord/build.ts`.
 *
 * @example chordIn(Eb major, Eb + UP.flatSeven, '7') // Db7
 */
export function chordIn(key: Key, root: Spelled, suffix: string): Chord {
  let byPlace = spelledChords.get(suffix);
  if (byPlace === undefined) {
    byPlace = new Map();
    spelledChords.set(suffix, byPlace);
  }
  const place = (root + 64) * 256 + (key.tonic + 64) * 2 + (key.mode === 'minor' ? 1 : 0);
  let made = byPlace.get(place);
  if (made === undefined) {
    made = printed(key, chord(root, suffix));
    byPlace.set(place, made);
  }
  return made;
}

/**
 * A device states each root by what it does (the dominant of the dominant of E is F#, its dominant C#),
 * so the spelling is right as it comes and is kept; a copyist's table of roots by key alone would turn
 * one link of a chain into flats. Only names no chart prints are changed.
 */
function printed(key: Key, raw: Chord): Chord {
  const root = printedRoot(key, raw.root, raw.quality.family === 'major' && !isTriadic(raw));
  return root === raw.root ? raw : { ...raw, root };
}

/** Between Gb and A# every root is printed as it is; Cb, Fb, E#, B# only where the key signature has them. */
const PLAIN = { flattest: spelled('G', -1), sharpest: spelled('A', 1) };

/** A major seventh or sixth is a home of its own, and nobody's home is G#, D# or A#. */
const SHARPEST_HOME = spelled('C', 1);

const isTriadic = (chord: Chord): boolean => chord.quality.degrees.length <= 3;

function printedRoot(key: Key, root: Spelled, home: boolean): Spelled {
  if (home && root > SHARPEST_HOME) return root - 12;
  if (root >= PLAIN.flattest && root <= PLAIN.sharpest) return root;
  if (inSignature(key, root) && Math.abs(alterOf(root)) <= 1) return root;
  return root < PLAIN.flattest ? root + 12 : root - 12;
}

/**
 * A root moved for its sound alone (a whole shape a semitone off): of its two names the one whose own
 * scale has fewer accidentals, Abmaj7 rather than G#maj7, G#m7 rather than Abm7; where both have as
 * many, the key's side decides.
 */
export function nearRoot(key: Key, root: Spelled, like: Chord): Spelled {
  const { family } = like.quality;
  const minor = family === 'minor' || family === 'half-diminished' || family === 'diminished';
  const scale = root - (minor ? 3 : 0);
  const lean = signatureOf(key) < 0 ? -0.5 : 0.5;
  return root + respellNear(scale, lean) - scale;
}

/**
 * A two and its five as a chart prints them: both on one side, F#m7 B7 and never Gbm7 B7.
 *
 * @param two root of the two, by what it does
 */
export function twoFive(
  key: Key,
  two: Spelled,
  suffixes: readonly [string, string],
): readonly [Chord, Chord] {
  const five = chordIn(key, two + UP.four, suffixes[1]);
  const first = chordIn(key, five.root + UP.five, suffixes[0]);
  return [first, chordIn(key, first.root + UP.four, suffixes[1])];
}

/** The same chord over another bass note, spelled with it. */
export function over(upper: Chord, bass: Spelled): Chord {
  if (chromaOf(bass) === chromaOf(upper.root)) return upper;
  return { ...upper, bass };
}

/** A note as a player says it: no double accidentals. */
export function plainNote(pc: Spelled): Spelled {
  return Math.abs(alterOf(pc)) > 1 ? respellNear(pc, pc > 0 ? 4 : 0) : pc;
}

/** Whether a note sounds in a chord. */
export function hasTone(chord: Chord, pc: Spelled): boolean {
  return (chord.quality.chromaMask & (1 << semitonesUp(chord.root, pc))) !== 0;
}

/** The note of that sound as the chord spells it (`Emaj7` has an E, whatever the degree says), without double accidentals; as it comes when it is not in the chord. */
export function toneIn(chord: Harmony, pc: Spelled): Spelled {
  if (chord.kind === 'none' || !hasTone(chord, pc)) return plainNote(pc);
  for (const fifths of chord.quality.fifths) {
    if ((chord.root + fifths - pc) % 12 === 0) return plainNote(chord.root + fifths);
  }
  return plainNote(pc);
}

const names = new Map<Spelled, string>();

/** Name of a note, plain: `Ab`. */
export function note(pc: Spelled): string {
  let name = names.get(pc);
  if (name === undefined) {
    name = nameOf(plainNote(pc));
    names.set(pc, name);
  }
  return name;
}

const symbols = new WeakMap<Chord, string>();

/** The chord as written on a chart, for reasons and variants. */
export function symbol(of: Chord): string {
  let text = symbols.get(of);
  if (text === undefined) {
    text = symbolOf(of);
    symbols.set(of, text);
  }
  return text;
}
