import type { Key } from '../../shared-core/pitch/key.ts';
import type { Meter, Ticks } from '../../shared-core/time/meter.ts';
import type {
  FormJump,
  FormMark,
  HarmonyEvent,
  MelodyEvent,
} from '../../shared-core/tune/model.ts';
import { LIMITS } from './limits.ts';

/** A bar as a reader found it. May still be longer than its meter, or hold several voices. */
export interface DraftBar {
  /** The meter in force. */
  readonly meter: Meter;
  length: Ticks;
  readonly harmony: HarmonyEvent[];
  /** Sounding pitches; `at` from the start of the bar. */
  readonly notes: MelodyEvent[];
  /** Name of the section that starts here. */
  label: string | null;
  repeatStart: boolean;
  repeatEnd: number;
  endings: readonly number[];
  readonly marks: Set<FormMark>;
  jump: FormJump | null;
}

/** A tune as a reader found it, before it is made to fit the tune model. */
export interface Draft {
  title: string | null;
  credit: string | null;
  key: Key | null;
  tempo: number | null;
  feel: string | null;
  form: readonly string[] | null;
  readonly bars: DraftBar[];
  readonly warnings: Warnings;
}

/** An empty bar of `length` ticks. */
export function draftBar(meter: Meter, length: Ticks): DraftBar {
  return {
    meter,
    length,
    harmony: [],
    notes: [],
    label: null,
    repeatStart: false,
    repeatEnd: 0,
    endings: [],
    marks: new Set(),
    jump: null,
  };
}

/** A draft without bars. */
export function emptyDraft(): Draft {
  return {
    title: null,
    credit: null,
    key: null,
    tempo: null,
    feel: null,
    form: null,
    bars: [],
    warnings: new Warnings(),
  };
}

/** Remarks of a reader: each sentence once, and only so many of them. */
export class Warnings {
  readonly list: string[] = [];
  private left = 0;

  add(sentence: string): void {
    if (this.list.includes(sentence)) return;
    if (this.list.length < LIMITS.warnings) this.list.push(sentence);
    else this.left++;
  }

  /** All sentences; the last one says how many more there were. */
  all(): string[] {
    return this.left === 0 ? this.list : [...this.list, `${this.left} more remarks were left out.`];
  }
}
