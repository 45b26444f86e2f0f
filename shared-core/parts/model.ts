import type { ChairRole } from '../arrangement/band.ts';
import type { Harmony } from '../chord/model.ts';
import type { Interval } from '../pitch/interval.ts';
import type { Key } from '../pitch/key.ts';
import type { Pitch } from '../pitch/spelled.ts';
import type { Meter, Ticks } from '../time/meter.ts';
import type { Voicing } from '../voicing/model.ts';

/** A harmony at its place in a bar, as this chair reads it (written pitch). `at` counts ticks from the bar line. */
export interface PartHarmony {
  readonly at: Ticks;
  readonly harmony: Harmony;
}

/** What a note is there for, printed beside it. */
export type NoteMark = 'tells' | 'home';

/** What stands on the staff. Times are ticks from the bar line; the events of a bar fill it exactly. */
export type PartEvent =
  | { readonly kind: 'slash'; readonly at: Ticks; readonly length: Ticks }
  | {
      /** A stemmed slash head: play this rhythm. `tied`: it rings into the next event. */
      readonly kind: 'hit';
      readonly at: Ticks;
      readonly length: Ticks;
      readonly tied: boolean;
    }
  | { readonly kind: 'rest'; readonly at: Ticks; readonly length: Ticks }
  /** On paper only: the whole bar is played as the one before it. A part says what it is. */
  | { readonly kind: 'simile'; readonly at: Ticks; readonly length: Ticks }
  | {
      readonly kind: 'note';
      readonly at: Ticks;
      readonly length: Ticks;
      /** Written pitches, low to high; more than one is a chord on one stem. */
      readonly pitches: readonly Pitch[];
      readonly tied: boolean;
      readonly mark: NoteMark | null;
      /** `line`: guide tones, small; `play`: full size. */
      readonly weight: 'play' | 'line';
    };

/** What the soloist may play over bars the rhythm section leaves alone, or what is told to it. */
export interface PartCue {
  readonly at: Ticks;
  /** The judge's word on it; null where the cue of the bar before goes on. */
  readonly words: 'over the top' | 'tell' | 'follow' | null;
  /** Written pitch; ticks from this bar's bar line. */
  readonly harmonies: readonly PartHarmony[];
  /** 1-based choruses it holds for; null: every chorus this bar is played in. */
  readonly choruses: readonly number[] | null;
}

/** An instruction to this chair. */
export interface PartDirection {
  readonly at: Ticks;
  readonly words: string;
  readonly choruses: readonly number[] | null;
}

/** One printed bar. */
export interface PartMeasure {
  /** 0-based place in the chorus of the first pass. */
  readonly index: number;
  /** Number printed at line starts: the players' count in the chorus, 0 for a pickup. */
  readonly number: number;
  readonly meter: Meter;
  readonly length: Ticks;
  /** Boxed letter; null where no section starts. */
  readonly rehearsal: string | null;
  /** Harmony that rings over the bar line where nothing is written at its first tick. */
  readonly carriedBand: Harmony | null;
  readonly carriedSolo: Harmony | null;
  /** What the band plays, in order. */
  readonly band: readonly PartHarmony[];
  /** What the soloist plays over it; null where it is what the band plays. */
  readonly solo: readonly PartHarmony[] | null;
  readonly events: readonly PartEvent[];
  readonly cues: readonly PartCue[];
  /** Trade names of scales over superimposed chords, where the name helps: `lydian ♭7`. */
  readonly scales: readonly { readonly at: Ticks; readonly words: string }[];
  readonly directions: readonly PartDirection[];
  /** Voicings to show at harmonies of this bar, on demand. */
  readonly voicings: readonly { readonly at: Ticks; readonly voicing: Voicing }[];
  readonly repeatStart: boolean;
  /** Times the repeat ending here is played in all; 0 where none ends. */
  readonly repeatEnd: number;
  /** Numbers of the ending this bar belongs to; empty outside endings. */
  readonly endings: readonly number[];
  /** First bar of its ending, last bar of its ending. */
  readonly endingStart: boolean;
  readonly endingStop: boolean;
  readonly barline: 'single' | 'double' | 'final';
}

/** A few bars that stand for the same bars of a block in the choruses it names. */
export interface PartStrip {
  /** 1-based choruses. */
  readonly choruses: readonly number[];
  /**
   * `over`: its changes stand in a row above the very bars they replace, where the staff says no more than
   * the changes do (slashes, roots); its cues stand with those of the form. `below`: bars of its own under
   * the block.
   */
  readonly place: 'over' | 'below';
  /** First bar replaced, 0-based place in the chorus. */
  readonly from: number;
  readonly measures: readonly PartMeasure[];
}

/** A stretch of chart that is read top to bottom: one form, written once for the choruses that share it. */
export interface PartBlock {
  /** Words over it: `Head`, `Tenor solo`. */
  readonly heading: string;
  /** 1-based choruses played from it in one go, in order. */
  readonly choruses: readonly number[];
  readonly measures: readonly PartMeasure[];
  readonly strips: readonly PartStrip[];
  /**
   * Choruses of others, counted through: printed as one line of rest. `measures` are then the bars of one
   * chorus, empty, whatever the number of choruses; the band's changes under them are not on this chart.
   */
  readonly rests: boolean;
  /** After a rest that leads to an entrance: what is heard just before it; null elsewhere. */
  readonly cue: EntranceCue | null;
}

/** What a player who has counted hears before coming in. */
export interface EntranceCue {
  /** `Tenor saxophone solo ends`. */
  readonly words: string;
  /** The band's changes in the last bars, written pitch, each bar from its bar line. */
  readonly bars: readonly (readonly PartHarmony[])[];
  /** The same bars with the melody in small notes, where there is one: printed, not played. */
  readonly measures: readonly PartMeasure[];
}

/** The one jump a chart may have, at its end: back to a block, to its end or by way of a coda. */
export interface PartJump {
  readonly kind: 'D.C.' | 'D.S.';
  readonly al: 'fine' | 'coda';
  /** Block jumped to; the segno stands at its first bar unless it is the top. */
  readonly block: number;
  /** 1-based chorus played after the jump. */
  readonly chorus: number;
  readonly heading: string;
  /** Bars of the block played before going to the coda (printed index); all of them al fine. */
  readonly bars: number;
  /** Whether the repeats inside the block are taken again; a block played several times is played once. */
  readonly repeats: boolean;
  readonly coda: readonly PartMeasure[];
}

/** What stands above the music and in the running head. All words are ready to print. */
export interface PartHead {
  readonly title: string;
  readonly credit: string | null;
  readonly arrangement: string;
  readonly version: string | null;
  /** As given by the caller; the engine has no clock. */
  readonly date: string | null;
  /** `Tenor saxophone`. */
  readonly chair: string;
  /** `in B♭`, `concert pitch`, `sounds an octave lower`. */
  readonly transposition: string;
  /** `slashes and cues`, `solo changes`: which kind of chart this is. */
  readonly kind: string;
  readonly tempo: number | null;
  readonly feel: string | null;
  /** `AABA, 32 bars`. */
  readonly form: string;
  /** `1 Head (p) · 2–3 Tenor solo (mf) · 4 Head out (p)`: same on every part. */
  readonly road: string;
}

/** How this chair reads: clef, and the interval from concert to written pitch. */
export interface PartReading {
  readonly instrument: string;
  readonly clef: {
    readonly sign: 'G' | 'F' | 'C' | 'percussion';
    readonly line: number;
    readonly octaveChange: -1 | 0 | 1;
  };
  /** What a guitarist or bassist must see to before the first bar: `DADGAD, capo 2`; null where all is as usual. */
  readonly strung: { readonly words: string; readonly capo: number } | null;
  /** 2 where voicings stand on a treble and a bass staff. */
  readonly staves: 1 | 2;
  /** Concert to written. */
  readonly toWritten: Interval;
  /** MusicXML `<transpose>`: written to sounding; null for concert pitch. */
  readonly transpose: {
    readonly diatonic: number;
    readonly chromatic: number;
    readonly octaveChange: number;
  } | null;
}

/** What one chair reads. */
export interface Part {
  readonly chairId: string;
  readonly role: ChairRole;
  readonly head: PartHead;
  readonly reading: PartReading;
  /** Written key. */
  readonly key: Key;
  readonly meter: Meter;
  /** Bars in one chorus. */
  readonly chorusBars: number;
  readonly choruses: number;
  readonly blocks: readonly PartBlock[];
  readonly jump: PartJump | null;
}
