import type { Harmony } from '../chord/model.ts';
import type { Key } from '../pitch/key.ts';
import type { Pitch } from '../pitch/spelled.ts';
import type { Meter, Ticks } from '../time/meter.ts';

/** A chord at its place in a written bar. */
export interface HarmonyEvent {
  /** Ticks from the start of the bar. */
  readonly at: Ticks;
  readonly harmony: Harmony;
}

/** A melody note in a written bar, at concert pitch. Rests are gaps. */
export interface MelodyEvent {
  readonly at: Ticks;
  /** Sounding length in ticks, over 0; a note may ring past its bar line. */
  readonly length: Ticks;
  readonly pitch: Pitch;
}

/** Marks of the form: places one can jump to or stop at. */
export type FormMark = 'segno' | 'coda' | 'fine' | 'to-coda';

/** A jump at the end of a bar: where to, and where the second pass ends. */
export interface FormJump {
  readonly to: 'capo' | 'segno';
  readonly al: 'end' | 'fine' | 'coda';
}

/** One bar as written on the page. */
export interface WrittenBar {
  /** A meter change that starts here; null keeps the meter before it. */
  readonly meter: Meter | null;
  /** Ticks this bar lasts; differs from its meter only for a pickup, a shortened last bar or a split bar. */
  readonly length: Ticks;
  /** In order of `at`. Empty: the chord before goes on. */
  readonly harmony: readonly HarmonyEvent[];
  readonly melody: readonly MelodyEvent[];
  readonly repeatStart: boolean;
  /** Times the repeat that ends here is played in all (2 as a rule), or 0 where none ends. */
  readonly repeatEnd: number;
  /** Numbers of the ending that starts at this bar; empty where none does. */
  readonly endings: readonly number[];
  readonly marks: readonly FormMark[];
  readonly jump: FormJump | null;
}

/** A lettered stretch of the written tune. */
export interface Section {
  /** Rehearsal letter or name as typed: `A`, `B`, `Intro`. */
  readonly label: string;
  readonly bars: readonly WrittenBar[];
}

/** Tempo: beats a minute of the counted beat (dotted in compound meters). */
export type Tempo = number;

/** A tune as written. */
export interface Tune {
  readonly title: string;
  readonly credit: string | null;
  /** Null: to be inferred. */
  readonly key: Key | null;
  readonly meter: Meter;
  readonly tempo: Tempo | null;
  /** Feel in words of the trade: `medium swing`, `bossa`, `jazz waltz`. */
  readonly feel: string | null;
  /** Order of section labels; null plays the sections as written. */
  readonly form: readonly string[] | null;
  /** Length of the pickup bar; 0 when there is none. The pickup is the first bar of the first section. */
  readonly pickup: Ticks;
  readonly sections: readonly Section[];
}

/** One bar of the unrolled form, in playing order. */
export interface FormBar {
  /** 0-based place in the chorus. */
  readonly index: number;
  /** Bar number as counted by players: 1 is the first full bar, 0 a pickup. */
  readonly number: number;
  readonly section: number;
  /** Index of the bar in its written section. */
  readonly writtenBar: number;
  /** Label of the section, and whether this bar starts a playing of it. */
  readonly label: string;
  readonly startsSection: boolean;
  readonly meter: Meter;
  readonly start: Ticks;
  readonly length: Ticks;
}

/** A harmony over a stretch of the chorus; neighbours with the same harmony are kept apart at written changes only. */
export interface TimedHarmony {
  readonly start: Ticks;
  readonly length: Ticks;
  readonly harmony: Harmony;
}

/** A melody note on the chorus timeline. */
export interface TimedNote {
  readonly start: Ticks;
  readonly length: Ticks;
  readonly pitch: Pitch;
}

/** Once through the whole form, with repeats and jumps played out: what the players call a chorus. */
export interface Chorus {
  readonly bars: readonly FormBar[];
  /** Covers [0, length) without gaps; a stretch before the first written chord is a NoChord. */
  readonly harmony: readonly TimedHarmony[];
  readonly melody: readonly TimedNote[];
  readonly length: Ticks;
}

/** Place in a tune text or a form. Lines, columns, bars and beats count from 1. */
export interface TunePlace {
  readonly line?: number;
  readonly column?: number;
  readonly bar?: number;
  readonly beat?: number;
  readonly section?: string;
}

/** Closed list of what can be wrong with a tune. The sentence is written by `tune/messages.ts`. */
export type TuneErrorCode =
  | 'tune/empty'
  | 'tune/too-large'
  | 'tune/binary'
  | 'tune/header-unknown'
  | 'tune/header-value'
  | 'tune/no-bars'
  | 'tune/bar-unclosed'
  | 'tune/bar-division'
  | 'tune/chord'
  | 'tune/meter'
  | 'tune/simile'
  | 'tune/ending'
  | 'tune/repeat'
  | 'tune/jump'
  | 'tune/section'
  | 'tune/melody'
  | 'tune/pickup'
  | 'tune/form-endless';

/** One mistake, with its place and what was found there. */
export interface TuneError {
  readonly code: TuneErrorCode;
  readonly place: TunePlace;
  /** What stands there, and figures the sentence needs. */
  readonly data: Readonly<Record<string, string | number>>;
}

/** A tune read from text: what could be read, and every mistake. `tune` is null only when nothing could. */
export interface TuneReading {
  readonly tune: Tune | null;
  readonly errors: readonly TuneError[];
}
