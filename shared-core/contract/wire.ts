import type { ArrangementDiff, ArrangementState, Command } from '../arrangement/model.ts';
import type { Harmony } from '../chord/model.ts';
import type { Pitch } from '../pitch/spelled.ts';

/**
 * A record as it crosses between window and shell, and as it is stored: every harmony is its canonical
 * symbol text (`Bbmaj7`, `N.C.`), every pitch its name with octave (`Eb4`), everything else is unchanged.
 * Interned chord qualities never travel.
 */
export type Wire<T> = T extends Harmony | Pitch
  ? string
  : T extends readonly (infer Item)[]
    ? readonly Wire<Item>[]
    : T extends object
      ? { readonly [Name in keyof T]: Wire<T[Name]> }
      : T;

/** An arrangement with its harmonies and pitches as text. */
export type WireState = Wire<ArrangementState>;

/** A command with its harmonies as text. */
export type WireCommand = Wire<Command>;

/** A diff with its harmonies as text. */
export type WireDiff = Wire<ArrangementDiff>;
