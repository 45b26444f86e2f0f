import type { DeviceName } from '../analysis/model.ts';
import type { Carrier, Change, DeviceDegree } from '../devices/model.ts';
import type { Spelled } from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedNote } from '../tune/model.ts';

/** How the soloist's changes sit over the comping, in words. */
export type Verdict = 'fine over the top' | 'tell the rhythm section' | 'the band must follow';

/** One rub between what the soloist spells and what the comping holds. */
export interface Clash {
  /** Ticks from the span's start. */
  readonly at: Ticks;
  readonly length: Ticks;
  /** 1-based bar of the chorus and counted beat. */
  readonly bar: number;
  readonly beat: number;
  readonly soloNote: Spelled;
  readonly compingNote: Spelled;
  readonly kind: 'minor-ninth' | 'against-third' | 'against-seventh';
  /** Words: `Ab over Cmaj7's G`. */
  readonly words: string;
}

/** One melody note against a changed chord. */
export interface MelodyFinding {
  readonly note: TimedNote;
  readonly fit: 'chord-tone' | 'tension' | 'avoid' | 'clash';
  readonly weight: number;
  readonly against: string;
}

/** Melody fit of a proposal: 1 is perfect, 0 is unusable. */
export interface MelodyFit {
  readonly score: number;
  readonly findings: readonly MelodyFinding[];
  readonly worst: MelodyFinding | null;
}

/** How the voices move through a proposal. */
export interface VoiceLeading {
  /** Least total semitones between best voicings over the span, home and next included. */
  readonly semitones: number;
  readonly commonTones: number;
  /** Guide tones (thirds and sevenths) that move by step or stay, out of all. */
  readonly guideSteps: number;
  readonly guideMoves: number;
}

/** A judged proposal. Deterministic: same tune, settings and history give the same ids and figures. */
export interface Proposal {
  /** `minor-four.seventh.iv-m6@b2~b5.1x8`: device, degree, variant, span. */
  readonly id: string;
  readonly device: DeviceName;
  readonly degree: DeviceDegree;
  readonly variant: string;
  readonly span: string;
  readonly carrier: Carrier;
  /** Chorus ticks. */
  readonly start: Ticks;
  readonly length: Ticks;
  readonly changes: readonly Change[];
  readonly tells: Spelled | null;
  readonly home: Spelled | null;
  readonly melodyFit: MelodyFit;
  readonly voiceLeading: VoiceLeading;
  /** How firmly the bass walks from chord to chord and into the next, 0-1. */
  readonly bassMotion: number;
  /** How usual the device is over such a chord, 0-1. */
  readonly usual: number;
  readonly clashes: readonly Clash[];
  readonly verdict: Verdict;
  /** Changes a minute a player must read at the tune's tempo. */
  readonly changesPerMinute: number;
  /** Tension for each change, 0-1, in order, and where it peaks. */
  readonly tension: readonly number[];
  readonly peak: number;
  /** 1 unused in this arrangement, 0 used at this very place in the chorus before. */
  readonly freshness: number;
  /** 0-1, higher is better; the sum of the weighted figures of `proposals/weights.ts`. */
  readonly score: number;
  readonly reason: string;
}

/** One use of a device that an arrangement has already accepted; what freshness is measured against. */
export interface DeviceUse {
  /** 0-based order of the chorus. */
  readonly chorus: number;
  readonly device: DeviceName;
  readonly degree: DeviceDegree;
  /** Chorus ticks. */
  readonly start: Ticks;
  readonly length: Ticks;
}
