import type { DeviceName } from '../analysis/model.ts';
import type { Change, DeviceDegree } from '../devices/model.ts';
import type { Pitch, Spelled } from '../pitch/spelled.ts';
import type { Verdict } from '../proposals/model.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';

/** Which players a placement binds: the whole band plays it, or only the soloist plays it over the written changes. */
export type Layer = 'band' | 'soloist';

/** One chorus of an arrangement. */
export interface ChorusPlan {
  readonly id: string;
  /** Place among the choruses, 0-based and dense. */
  readonly order: number;
  /** Words on the chart: `Head`, `Tenor solo`, `Head out`; null for none. */
  readonly label: string | null;
  /** 0 plain - 5 peak. */
  readonly intensity: number;
}

/** Changes that stand in a chorus instead of (band) or over (soloist) the written ones. */
export interface Placement {
  readonly id: string;
  readonly chorus: string;
  readonly layer: Layer;
  /** Chorus ticks; the end may lie past the chorus' end when it runs into the next chorus' top. */
  readonly start: Ticks;
  readonly length: Ticks;
  /** Ticks from `start`; covers [0, length). */
  readonly changes: readonly Change[];
  readonly origin:
    | {
        readonly kind: 'proposal';
        readonly proposal: string;
        readonly device: DeviceName;
        readonly degree: DeviceDegree;
        readonly span: string;
        readonly verdict: Verdict;
        readonly tells: Spelled | null;
        readonly home: Spelled | null;
        readonly reason: string;
      }
    | { readonly kind: 'hand' };
}

/** A proposal laid aside for one chorus. */
export interface Rejection {
  /** `${chorus}:${proposal}`. */
  readonly id: string;
  readonly chorus: string;
  readonly proposal: string;
  readonly device: DeviceName;
  readonly degree: DeviceDegree;
}

/** What one chair does over a stretch of one chorus: `lay out`, `two-feel`, `walk`, `pedal`, `on cue`. */
export interface Direction {
  readonly id: string;
  readonly chorus: string;
  readonly chair: string;
  readonly start: Ticks;
  readonly length: Ticks;
  readonly words: 'lay out' | 'two-feel' | 'walk' | 'pedal' | 'on cue' | 'hits' | 'time';
}

/** A line kept for one chair to play in one chorus: written by the program or by hand, note by note. */
export interface KeptLine {
  readonly id: string;
  readonly chorus: string;
  readonly chair: string;
  /** Chorus ticks: the stretch the line was written for, its rests included; inside the chorus. */
  readonly start: Ticks;
  readonly length: Ticks;
  /** How busy it was asked to be. */
  readonly degree: 'plain' | 'medium' | 'busy';
  /** What it was drawn from, so that another can be asked for. */
  readonly seed: number;
  /** One note at a time, in order, inside the stretch. Chorus ticks, sounding pitch. */
  readonly notes: readonly KeptNote[];
}

/** A note of a kept line. */
export interface KeptNote {
  readonly start: Ticks;
  readonly length: Ticks;
  readonly pitch: Pitch;
}

/** Facts of the arrangement itself. */
export interface ArrangementHead {
  readonly name: string;
  /** Null: as the tune says. */
  readonly tempo: number | null;
  readonly feel: string | null;
}

/** An arrangement as plain records: the fold of its commands. */
export interface ArrangementState {
  readonly head: ArrangementHead;
  readonly choruses: Readonly<Record<string, ChorusPlan>>;
  readonly placements: Readonly<Record<string, Placement>>;
  readonly rejections: Readonly<Record<string, Rejection>>;
  readonly directions: Readonly<Record<string, Direction>>;
  readonly lines: Readonly<Record<string, KeptLine>>;
}

/** One table's change: null before = added, null after = removed. Reversing swaps the pair. */
export interface RecordChange<T> {
  readonly before: T | null;
  readonly after: T | null;
}

/** What a command did, record by record. */
export interface ArrangementDiff {
  readonly head: RecordChange<ArrangementHead> | null;
  readonly choruses: Readonly<Record<string, RecordChange<ChorusPlan>>>;
  readonly placements: Readonly<Record<string, RecordChange<Placement>>>;
  readonly rejections: Readonly<Record<string, RecordChange<Rejection>>>;
  readonly directions: Readonly<Record<string, RecordChange<Direction>>>;
  readonly lines: Readonly<Record<string, RecordChange<KeptLine>>>;
}

/** Everything a leader can decide. Ids of new records are given by the caller, so that folding is pure. */
export type Command =
  | { readonly kind: 'accept'; readonly placement: Placement }
  | { readonly kind: 'reject'; readonly rejection: Rejection }
  | { readonly kind: 'unreject'; readonly rejection: string }
  | { readonly kind: 'edit'; readonly placement: Placement }
  | { readonly kind: 'remove'; readonly placement: string }
  | { readonly kind: 'set-layer'; readonly placement: string; readonly layer: Layer }
  | { readonly kind: 'add-chorus'; readonly chorus: ChorusPlan }
  | { readonly kind: 'remove-chorus'; readonly chorus: string }
  | { readonly kind: 'move-chorus'; readonly chorus: string; readonly to: number }
  | {
      readonly kind: 'set-chorus';
      readonly chorus: string;
      readonly label: string | null;
      readonly intensity: number;
    }
  | { readonly kind: 'set-head'; readonly head: ArrangementHead }
  | { readonly kind: 'set-direction'; readonly direction: Direction }
  | { readonly kind: 'remove-direction'; readonly direction: string }
  | { readonly kind: 'set-line'; readonly line: KeptLine }
  | { readonly kind: 'remove-line'; readonly line: string }
  | { readonly kind: 'batch'; readonly label: string; readonly commands: readonly Command[] };

/** Why a command could not be applied. */
export interface CommandError {
  readonly code:
    | 'arrangement/no-chorus'
    | 'arrangement/no-placement'
    | 'arrangement/no-rejection'
    | 'arrangement/no-direction'
    | 'arrangement/no-line'
    | 'arrangement/line-notes'
    | 'arrangement/duplicate-id'
    | 'arrangement/last-chorus'
    | 'arrangement/out-of-range'
    | 'arrangement/gap';
  readonly data: Readonly<Record<string, string | number>>;
}

/**
 * The arrangement laid out end to end: chorus k starts at k x chorus length. `band` is what comping and
 * bass play; `solo` is what the soloist plays over it (equal to `band` where nothing is superimposed).
 */
export interface Realisation {
  readonly chorusLength: Ticks;
  readonly choruses: readonly ChorusPlan[];
  readonly band: readonly TimedHarmony[];
  readonly solo: readonly TimedHarmony[];
  /** Placements in playing order with absolute starts. */
  readonly placements: readonly {
    readonly start: Ticks;
    readonly length: Ticks;
    readonly placement: Placement;
  }[];
}
