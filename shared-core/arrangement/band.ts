/** What a chair does in the band. */
export type ChairRole = 'comping' | 'soloist' | 'bass' | 'drums';

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
}

/** A band: its chairs in score order. */
export interface Band {
  readonly id: string;
  readonly name: string;
  readonly chairs: readonly Chair[];
}
