import type { Harmony } from '../chord/model.ts';
import type { Key } from '../pitch/key.ts';
import type { Ticks } from '../time/meter.ts';
import type { Chorus } from '../tune/model.ts';

/** Names of the devices of the trade: the closed list of the headless contract. */
export const DEVICE_NAMES = [
  'minor-four',
  'side-step',
  'blues-four',
  'backdoor',
  'early-arrival',
  'lead-in-dominant',
  'related-two-five',
  'tritone-substitute',
  'passing-diminished',
  'common-tone-diminished',
  'dominant-chain',
  'line-cliche',
  'pedal-point',
  'major-thirds-cycle',
  'parallel-motion',
  'modal-interchange',
  'turnaround',
  'suspended-preparation',
  'two-five-split',
] as const;

/** One of {@link DEVICE_NAMES}. */
export type DeviceName = (typeof DEVICE_NAMES)[number];

/** What a chord does where it stands. */
export type HarmonicFunction =
  | 'home'
  | 'departure'
  | 'dominant'
  | 'passing'
  | 'common-tone'
  | 'line'
  | 'none';

/** One chord of the chorus, understood. Times are chorus ticks; bars and beats count from 1. */
export interface ChordReading {
  readonly index: number;
  readonly start: Ticks;
  readonly length: Ticks;
  /** 1-based position of the bar in the unrolled chorus (a pickup is bar 1 of the list if there is one). */
  readonly bar: number;
  /** Counted beat of that bar, from 1; may carry a fraction such as 2.5. */
  readonly beat: number;
  readonly harmony: Harmony;
  readonly localKey: Key;
  /** Roman numeral in the local key: `ii7`, `V7/vi`, `bVII7`, `subV7`; empty for N.C. */
  readonly roman: string;
  readonly function: HarmonicFunction;
  /** Index of the chord this one leads to (may be earlier in the list: the end leads to the top); null when none. */
  readonly prepares: number | null;
  /** The device recognised here; null when it is plain. */
  readonly device: DeviceName | null;
}

/** Why a span is a good place to move. */
export type SpanPlace =
  | 'top-of-form'
  | 'before-section'
  | 'end-of-form'
  | 'section-end'
  | 'vamp'
  | 'mid-section';

/** A device seen in the written changes. */
export interface Recognition {
  readonly device: DeviceName;
  /** Index of the chord it is recognised on. */
  readonly chord: number;
  /** Chord it leads to, where the device is a preparation. */
  readonly prepares: number | null;
  readonly roman: string | null;
  readonly function: HarmonicFunction;
  /** Price for the parse, lower is more likely; see `analysis/weights.ts`. */
  readonly cost: number;
}

/**
 * A rule of the grammar read backwards. Every device is one; `devices/index.ts` hands them to
 * `analyse`, so that what proposes and what recognises can never be two tables that disagree.
 */
export interface Recogniser {
  readonly name: DeviceName;
  /** Whether the written chord at `index` is this device in use. `chords` is the circle of the form. */
  recognise(chords: readonly ChordReading[], index: number): Recognition | null;
}

/**
 * One root and quality held for long enough that players run out of things to say. A span may run past
 * the chorus' end into its top: then `start + length` is greater than the chorus' length.
 */
export interface StaticSpan {
  /** Stable: derived from the place alone, e.g. `b5.1x8` (bar 5 beat 1, 8 beats). */
  readonly id: string;
  /** 1-based place in the unrolled chorus. */
  readonly startBar: number;
  readonly startBeat: number;
  readonly start: Ticks;
  readonly length: Ticks;
  /** Counted beats. */
  readonly beats: number;
  /** True for two bars or more (one at 80 beats a minute or slower): players run out of things to say. False: a bar to under two, offered on request. */
  readonly stretch: boolean;
  readonly harmony: Harmony;
  readonly localKey: Key;
  /** Index in `chords` of the first chord of the span. */
  readonly firstChord: number;
  /** Index in `chords` of the chord after the span (taken around the form's end); null when the whole form is one chord. */
  readonly next: number | null;
  /** Index in `chords` of the chord before the span; null as above. */
  readonly previous: number | null;
  readonly places: readonly SpanPlace[];
  /** Chorus ticks inside the span at which a section (or the chorus) starts: there the written chord stays unless asked. */
  readonly sectionStarts: readonly Ticks[];
}

/** A cadence: where a phrase comes to rest, or half comes to rest. */
export interface Cadence {
  readonly kind:
    | 'perfect'
    | 'plagal'
    | 'backdoor'
    | 'tritone'
    | 'deceptive'
    | 'half'
    | 'turnaround';
  /** Index of the chord the cadence arrives on. */
  readonly arrival: number;
  /** Indexes of the chords that make it, in order, arrival included. */
  readonly chords: readonly number[];
  readonly key: Key;
}

/** A tune understood. */
export interface Analysis {
  /** The tune's key: as written, or inferred. */
  readonly key: Key;
  readonly keyInferred: boolean;
  /** Whole-form type where one is recognised. */
  readonly formType: 'blues' | 'minor-blues' | null;
  readonly chorus: Chorus;
  readonly chords: readonly ChordReading[];
  readonly spans: readonly StaticSpan[];
  readonly cadences: readonly Cadence[];
}
