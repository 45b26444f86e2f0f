import type { Key } from '../pitch/key.ts';
import type { Spelled } from '../pitch/spelled.ts';
import type { Meter, Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';
import type { Compass } from './guide.ts';

/** How busy an example line is. */
export type LineDegree = 'plain' | 'medium' | 'busy';

/** A bar of the stretch to fill. */
export interface LineBar {
  readonly start: Ticks;
  readonly length: Ticks;
  readonly meter: Meter;
}

/** A stretch where the soloist leaves the written changes, with the note that tells and the note it goes home to. */
export interface LineStory {
  readonly start: Ticks;
  readonly length: Ticks;
  readonly tells: Spelled | null;
  readonly home: Spelled | null;
}

/** What an example line is made from. All times are on one timeline. */
export interface LineInput {
  readonly bars: readonly LineBar[];
  /** The changes to spell: in order, without gaps. */
  readonly harmony: readonly TimedHarmony[];
  readonly key: Key;
  /** Sounding compass of the instrument. */
  readonly compass: Compass;
  readonly degree: LineDegree;
  /** Another whole number, another line; the same number, the same line. */
  readonly seed: number;
  readonly stories?: readonly LineStory[];
}
