import { symbolOf } from '../chord/format.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { type Key, signatureOf } from '../pitch/key.ts';
import { alterOf, chromaOf, nameOf, respellNear, type Spelled } from '../pitch/spelled.ts';
import { type Place, surroundingsOf } from './page.ts';
import { chordAs, rowIn } from './spelling.ts';

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

/**
 * A chord as a copyist prints it at a place (a key, or a site with its page). `root` says by its spelling
 * from where the chord is seen (the flat seventh of home, the sharp one on the way up); it is only
 * respelled where print would not have it (see `spelling.ts`). `suffix` is a canonical one of
 * `chord/build.ts`.
 *
 * @example chordIn(Eb major, Eb + UP.flatSeven, '7') // Db7
 */
export function chordIn(place: Place, root: Spelled, suffix: string): Chord {
  const { spelled } = surroundingsOf(place);
  let byRoot = spelled.get(suffix);
  if (byRoot === undefined) {
    byRoot = new Map();
    spelled.set(suffix, byRoot);
  }
  let made = byRoot.get(root);
  if (made === undefined) {
    made = aloneIn(place, root, suffix);
    byRoot.set(root, made);
  }
  return made;
}

function aloneIn(place: Place, root: Spelled, suffix: string): Chord {
  const [one] = rowIn(place, [[root, suffix]]);
  if (one === undefined) throw new Error('A row of one chord holds one chord');
  return one;
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
 * A two and its five as a chart prints them: one unit, a fifth apart on paper, and a fifth above what they
 * lead to where that is their goal: E#m7b5 A#7 into D#m7, F#m7 B7 and never Gbm7 B7. Triads take the names
 * of the full chords.
 *
 * @param two root of the two, by what it does
 * @param goal the chord they go home to, a fifth below the five; null where they go home another way
 */
export function twoFive(
  place: Place,
  two: Spelled,
  suffixes: readonly [string, string],
  goal: Chord | null = null,
): readonly [Chord, Chord] {
  const dark = suffixes[0] === 'm7b5' || suffixes[0] === 'dim';
  const full = rowIn(
    place,
    [
      [two, dark ? 'm7b5' : 'm7'],
      [two + UP.four, '7'],
    ],
    goal,
  );
  const [first, second] = full.map((of, i) => chordAs(of.root, suffixes[i] ?? ''));
  if (first === undefined || second === undefined) throw new Error('A two-five is two chords');
  return [first, second];
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

/** The tone of that sound as the chord spells it; null when it is not in the chord. */
export function toneOf({ root, quality }: Chord, pc: Spelled): Spelled | null {
  for (let index = 0; index < quality.fifths.length; index++) {
    const tone = root + (quality.fifths[index] ?? 0);
    if ((tone - pc) % 12 === 0) return tone;
  }
  return null;
}

/** The note of that sound as the chord spells it (`Emaj7` has an E, whatever the degree says), without double accidentals; as it comes when it is not in the chord. */
export function toneIn(chord: Harmony, pc: Spelled): Spelled {
  return plainNote((chord.kind === 'none' ? null : toneOf(chord, pc)) ?? pc);
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
