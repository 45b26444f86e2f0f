import type { KeptNote } from '../../shared-core/arrangement/model.ts';
import { alterOf, letterOf, type Pitch } from '../../shared-core/pitch/spelled.ts';
import { beatTicks, type Ticks } from '../../shared-core/time/meter.ts';
import type { FormBar } from '../../shared-core/tune/model.ts';

const SIGNS: Readonly<Record<number, string>> = { [-2]: '♭♭', [-1]: '♭', 0: '', 1: '♯', 2: '♯♯' };

/** Accidental as signs; empty for a natural. */
export function accidentalSign(pitch: Pitch): string {
  return SIGNS[alterOf(pitch.pc)] ?? '';
}

/** `E♭4`. */
export function pitchSign(pitch: Pitch): string {
  return `${letterOf(pitch.pc)}${accidentalSign(pitch)}${pitch.octave}`;
}

const SPOKEN: Readonly<Record<number, string>> = {
  [-2]: ' double flat',
  [-1]: ' flat',
  1: ' sharp',
  2: ' double sharp',
};

/** Note values that are lengths of one note, in eighths. */
const VALUES: Readonly<Record<number, string>> = {
  1: 'eighth',
  2: 'quarter',
  3: 'dotted quarter',
  4: 'half',
  6: 'dotted half',
  8: 'whole',
};

/** `quarter`, or how many eighths where no one note says it. */
export function lengthWords(length: Ticks): string {
  const eighths = length / 480;
  return VALUES[eighths] ?? `${eighths} eighths`;
}

/** A note for ears: `bar 3, after beat 2: E flat 4, quarter`. */
export function noteWords(note: KeptNote, bar: FormBar): string {
  const beats = (note.start - bar.start) / beatTicks(bar.meter);
  const beat = Math.floor(beats) + 1;
  const place = Number.isInteger(beats) ? `beat ${beat}` : `after beat ${beat}`;
  const { pitch } = note;
  const name = `${letterOf(pitch.pc)}${SPOKEN[alterOf(pitch.pc)] ?? ''} ${pitch.octave}`;
  return `bar ${bar.number}, ${place}: ${name}, ${lengthWords(note.length)}`;
}
