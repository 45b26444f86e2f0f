import { letterOf, midiOf, modulo, type Pitch, pitchAt, type Spelled, spelled } from './spelled.ts';

/** A directed spelled interval: fifths place, and whole semitones (which carry the octave and the direction). */
export interface Interval {
  readonly fifths: number;
  readonly semitones: number;
}

/** Builds an interval and checks that both coordinates name one sound. Throws otherwise. */
export function interval(fifths: number, semitones: number): Interval {
  if (modulo(fifths * 7 - semitones, 12) !== 0) {
    throw new Error(`No interval has ${fifths} fifths and ${semitones} semitones`);
  }
  return { fifths, semitones };
}

/** Moves a pitch, keeping the spelling of the interval. */
export function transposePitch(pitch: Pitch, by: Interval): Pitch {
  return pitchAt(midiOf(pitch) + by.semitones, pitch.pc + by.fifths);
}

/** The interval from `low` to `high`. */
export function intervalBetween(low: Pitch, high: Pitch): Interval {
  return { fifths: high.pc - low.pc, semitones: midiOf(high) - midiOf(low) };
}

/** The opposite interval. */
export function invert(by: Interval): Interval {
  // Subtracted from zero, so that a unison stays 0 and never becomes -0.
  return { fifths: 0 - by.fifths, semitones: 0 - by.semitones };
}

/** Natural of the same letter, used where an accidental must be cancelled. */
export function naturalOf(pc: Spelled): Spelled {
  return spelled(letterOf(pc), 0);
}
