import type { KeySpelling } from '../pitch/instruments.ts';
import type { StringSetup } from '../pitch/strings.ts';
import type { VoicingFamily } from '../voicing/families.ts';

/** What a chair does in the band. */
export type ChairRole = 'comping' | 'soloist' | 'bass' | 'drums';

/** What a comping chair's voicings should be like, on paper and in sound. */
export interface VoicingWish {
  readonly family: VoicingFamily;
  /**
   * The top note where the melody is played: `free`, on the melody itself (it is harmonised), or `under` it
   * (it is left room).
   */
  readonly top: 'free' | 'melody' | 'under';
}

/** One chair of a band: who sits there reads one part. */
export interface Chair {
  readonly id: string;
  /** Printed name: `Tenor saxophone`, `Guitar 1`. */
  readonly name: string;
  /** Id of a row of `pitch/instruments.ts`: `tenor-sax`, `guitar`, `double-bass`, `drum-set`. */
  readonly instrument: string;
  readonly role: ChairRole;
  /** 0-based score order. */
  readonly order: number;
  /** Guitars and basses: strings, capo and hand; absent, as usual. */
  readonly strings?: StringSetup;
  /** What a transposing chair reads where its key can be written two ways; absent, fewest accidentals. */
  readonly keys?: KeySpelling;
  /** Comping chairs; absent, whatever lies best. */
  readonly voicing?: VoicingWish;
}

/** A band: its chairs in score order. */
export interface Band {
  readonly id: string;
  readonly name: string;
  readonly chairs: readonly Chair[];
}
