import type {
  Analysis,
  ChordReading,
  DeviceName,
  Recognition,
  StaticSpan,
} from '../analysis/model.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import type { Key } from '../pitch/key.ts';
import type { Spelled } from '../pitch/spelled.ts';
import type { Meter, Ticks } from '../time/meter.ts';
import type { FormBar, TimedNote } from '../tune/model.ts';

/**
 * How strongly a device is stated: one telling note, triads only, seventh chords, or with its preparing
 * two (or, where the device has no two, in its longest form).
 *
 * `note` is for the soloist alone, over unchanged comping. Its `changes` show the plainest chord the note
 * is taken from (nearly always a triad), so that place, length and rub can be read off like any other
 * rewrite; what is to be played there is `tells` and nothing else, going to `home` where the chord ends.
 */
export type DeviceDegree = 'note' | 'triad' | 'seventh' | 'full';

/** Who plays it. `either`: the judge's verdict and the leader decide. */
export type Carrier = 'soloist' | 'band' | 'either';

/** Everything a device may look at. Times inside a site are ticks from the span's own start. */
export interface Site {
  readonly analysis: Analysis;
  readonly span: StaticSpan;
  /** The chord the span holds; in a stretch of several chords, the first of them. */
  readonly held: Chord;
  /** What is written there, covering [0, length): one change on a static span, several on a stretch. */
  readonly written: readonly Change[];
  readonly key: Key;
  /** Chord after the span; null when none or N.C. */
  readonly next: Chord | null;
  readonly previous: Chord | null;
  readonly meter: Meter;
  /** Bars the span touches, in order, with starts relative to the span's start (first may be negative). */
  readonly bars: readonly FormBar[];
  readonly length: Ticks;
  /** Ticks from the span's start where a section begins: the written chord must sound there. */
  readonly keep: readonly Ticks[];
  /** Melody inside the span, ticks from its start. */
  readonly melody: readonly TimedNote[];
}

/** A chord of a rewrite; ticks from the span's start. A rewrite covers its whole span without gaps. */
export interface Change {
  readonly at: Ticks;
  readonly length: Ticks;
  readonly harmony: Harmony;
}

/** What a device writes at one site. */
export interface Rewrite {
  readonly device: DeviceName;
  readonly degree: DeviceDegree;
  /** Distinguishes rewrites of one device and degree at one site: `iv-m6@b2`, stable across runs. */
  readonly variant: string;
  readonly carrier: Carrier;
  /** The whole span after the rewrite. */
  readonly changes: readonly Change[];
  /** The note that tells the ear what happened, spelled; null where no single note does. */
  readonly tells: Spelled | null;
  /** The note it falls or rises to on the way home. */
  readonly home: Spelled | null;
  /** One sentence in words of the trade, naming the notes that move. */
  readonly reason: string;
}

/** A worked example: bars before and after in the trade's plain text, with its source. Runs as a test. */
export interface WorkedExample {
  readonly key: string;
  readonly meter?: string;
  /** Bars between `|`, as tune text. */
  readonly before: string;
  readonly after: string;
  /** Chord after the last bar. */
  readonly next?: string;
  readonly source: string;
}

/**
 * The inverse of a rewrite: chords `first` to `last` (indexes on the circle of the form, `last` may be
 * smaller when the run goes round the form's end) give way to plainer `changes`, in ticks from the start
 * of chord `first`, covering exactly the time of the run.
 */
export interface Thinning {
  readonly device: DeviceName;
  readonly first: number;
  readonly last: number;
  readonly changes: readonly Change[];
}

/**
 * What the held chord is to the ear, which decides whose answers fit:
 *
 * - `major`: a major chord is heard as a home of its own, on whatever degree it stands.
 * - `minor-home`: the tonic of a minor key, or a minor chord with nowhere to go (a vamp).
 * - `minor`: any other minor chord (two, three, six): mostly on its way.
 * - `blues`: a seventh chord that is home (the blues) or stands still.
 * - `dominant`: a seventh chord that wants to resolve.
 * - `half-diminished`, `suspended`: as named. `other`: nothing fits but what the next chord asks for.
 *
 * Common practice, no source.
 */
export type Standing =
  | 'major'
  | 'minor-home'
  | 'minor'
  | 'blues'
  | 'dominant'
  | 'half-diminished'
  | 'suspended'
  | 'other';

/**
 * How usual a device is over each kind of held chord: 1 is what every player expects there, 0 what none
 * has heard. Common practice, no source; the judge shows usual things first and hides none.
 */
export type Usual = { readonly elsewhere: number } & { readonly [standing in Standing]?: number };

/** One harmonic device: one file, one constant of this type. */
export interface Device {
  readonly name: DeviceName;
  /** Trade name for people: `Minor four`. */
  readonly label: string;
  readonly definition: string;
  readonly source: string;
  readonly usual: Usual;
  /** All rewrites of one site, mildest first; empty when it does not fit. Pure and deterministic. */
  propose(site: Site): readonly Rewrite[];
  /** Whether the written chord at `index` is this device in use; null when it is not. `chords` is the circle of the form. */
  recognise(chords: readonly ChordReading[], index: number): Recognition | null;
  /**
   * What may have been written, besides one held chord, before this device rewrote the window; left out
   * where the device only ever rewrites a held chord. `thin.ts` checks each guess by proposing on it.
   */
  plainer?(window: readonly Change[], key: Key, next: Chord | null): readonly (readonly Change[])[];
  readonly examples: readonly WorkedExample[];
}
