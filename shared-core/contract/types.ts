import type { DeviceName } from '../analysis/model.ts';
import type { Band } from '../arrangement/band.ts';
import type { DeviceDegree } from '../devices/model.ts';
import type { ContractError } from './errors.ts';
import type { WireState } from './wire.ts';

/** A moment as ISO 8601 in UTC with milliseconds: `2025-03-01T19:30:00.000Z`. */
export type Moment = string;

/** Which shell answers. */
export type HostName = 'electron' | 'loopback' | 'headless';

/** Facts of the running program. */
export interface AppInfo {
  readonly version: string;
  readonly host: HostName;
  /** File name of the library, without its folder. */
  readonly libraryName: string;
  /** Whether the sample library was loaded into this library. */
  readonly sampleLoaded: boolean;
}

/** One line of the tune list. */
export interface TuneRow {
  readonly id: string;
  readonly title: string;
  readonly credit: string | null;
  /** `Bb major`: as written, or inferred. */
  readonly key: string;
  readonly keyInferred: boolean;
  /** `4/4`. */
  readonly meter: string;
  /** Counted beats a minute. */
  readonly tempo: number | null;
  readonly feel: string | null;
  /** Section labels in playing order: `A A B A`. */
  readonly form: string;
  /** Bars of one chorus, repeats played out, a pickup not counted. */
  readonly bars: number;
  /** Arrangements that are not in the bin. */
  readonly arrangements: number;
  readonly createdAt: Moment;
  readonly changedAt: Moment;
  /** When it went to the bin; null when it stands in the library. */
  readonly binnedAt: Moment | null;
}

/** One line of an arrangement list. */
export interface ArrangementRow {
  readonly id: string;
  readonly tuneId: string;
  readonly tuneTitle: string;
  readonly name: string;
  readonly choruses: number;
  readonly revision: number;
  readonly createdAt: Moment;
  readonly changedAt: Moment;
  readonly binnedAt: Moment | null;
}

/** One decision as the history shows it, oldest first. */
export interface HistoryEntry {
  /** Counts from 1 within the arrangement. */
  readonly seq: number;
  /** Words: `Accept Minor four in chorus 2`. */
  readonly label: string;
  readonly at: Moment;
  /** True while it is undone and can be redone. */
  readonly undone: boolean;
}

/** An arrangement after a decision. */
export interface ArrangementUpdate {
  /** Grows by one with every decision, undo and redo. */
  readonly revision: number;
  readonly state: WireState;
  readonly history: readonly HistoryEntry[];
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

/** An arrangement as kept. */
export interface ArrangementRecord extends ArrangementUpdate {
  readonly id: string;
  readonly tuneId: string;
}

/** How charts are set. All fields may be left out: words, A4, written pitch. */
export interface ChartOptions {
  readonly style?: 'words' | 'signs';
  readonly paper?: 'a4' | 'letter';
  /** True prints a transposing instrument's chart at concert pitch. */
  readonly concert?: boolean;
  /** Everything at 130 %. */
  readonly large?: boolean;
  /** How choruses are folded; `auto` is the shortest honest chart. */
  readonly layout?: 'auto' | 'compact' | 'written-out';
  /** Guitar: fret diagrams over the chords. */
  readonly voicings?: boolean;
  /** Bass: a written line instead of roots and slashes. */
  readonly walkingLine?: boolean;
  /** Soloists: an example line in the solo choruses instead of guide tones; another seed, another line. */
  readonly exampleLine?: { readonly degree: 'plain' | 'medium' | 'busy'; readonly seed: number };
}

/** What an export writes. */
export type ExportFormat = 'pdf' | 'musicxml' | 'midi';

/** One file an export made; read it by its handle. */
export interface ExportedFile {
  readonly name: string;
  readonly handle: string;
  readonly bytes: number;
}

/** How far an export is. */
export interface ExportProgress {
  readonly done: number;
  readonly total: number;
  /** Words for what is being made: `Tenor saxophone: PDF`. */
  readonly step: string;
  readonly state: 'running' | 'done' | 'cancelled' | 'failed';
  readonly files: readonly ExportedFile[];
  readonly error?: ContractError;
}

/** One file's bytes. */
export interface FileContent {
  readonly name: string;
  /** Media type. */
  readonly type: string;
  readonly base64: string;
}

/** A tune taken in by an import. */
export interface ImportedTune {
  readonly id: string;
  /** The name of the file it stood in. */
  readonly file: string;
  readonly title: string;
  readonly warnings: readonly string[];
}

/** A file an import could not take. */
export interface FailedImport {
  readonly file: string;
  readonly error: ContractError;
}

/** What the leader's decisions taught about one device at one degree. */
export interface TasteRow {
  readonly device: DeviceName;
  readonly degree: DeviceDegree;
  readonly accepted: number;
  readonly rejected: number;
  /** 0-1; one half is no opinion. See `proposals/taste.ts`. */
  readonly weight: number;
}

/** One line of the set list list. */
export interface SetlistRow {
  readonly id: string;
  readonly name: string;
  readonly entries: number;
  /** Playing time in whole seconds, pauses included; of the entries that can be read. */
  readonly seconds: number;
  /** Entries that cannot be read; opening the set says what to do about each. */
  readonly unreadable: number;
  readonly createdAt: Moment;
  readonly changedAt: Moment;
  readonly binnedAt: Moment | null;
}

/** One entry as it is saved. */
export interface SetlistEntryInput {
  readonly arrangementId: string;
  /** Words on the set sheet: `trumpet counts off`; null for none. */
  readonly note: string | null;
  /** Seconds of talk or applause after it, 0-3600. */
  readonly pause: number;
}

/** One entry of a set list, with what the set sheet says of it. */
export interface SetlistEntryRow extends SetlistEntryInput {
  readonly tuneId: string;
  readonly title: string;
  readonly arrangementName: string;
  /** Null where the entry cannot be read: then `problem` says why. */
  readonly facts: SetlistFacts | null;
  /** What is wrong with the entry and what to do; null for nothing. */
  readonly problem: string | null;
  /** Time from the start of the set to this entry's downbeat. */
  readonly startsAt: number;
}

/** How an entry of a set list goes. */
export interface SetlistFacts {
  readonly key: string;
  readonly meter: string;
  readonly tempo: number;
  readonly feel: string | null;
  readonly choruses: number;
  /** Playing time without the pause after it. */
  readonly seconds: number;
  /** How it follows the entry before: `same key`, `up a fourth, 20 bpm slower`; null for the first. */
  readonly flow: string | null;
  /** A remark the leader may want to know: two neighbours alike, an entry in the bin. */
  readonly remarks: readonly string[];
}

/** A set list as kept. */
export interface SetlistRecord {
  readonly id: string;
  readonly name: string;
  readonly entries: readonly SetlistEntryRow[];
  readonly seconds: number;
}

/** One finding of the library check. */
export interface CheckFinding {
  readonly level: 'fine' | 'warning' | 'error';
  /** What was looked at: `library`, `fonts`, `samples`. */
  readonly subject: string;
  readonly message: string;
}

/** What the library check saw. */
export interface CheckReport {
  readonly sound: boolean;
  readonly findings: readonly CheckFinding[];
  readonly versions: Readonly<Record<string, string>>;
}

/** The band with its chairs in score order. */
export interface BandAnswer {
  readonly band: Band;
}
