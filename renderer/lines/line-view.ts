import type { Chair } from '../../shared-core/arrangement/band.ts';
import type { Harmony } from '../../shared-core/chord/model.ts';
import { readingOf } from '../../shared-core/parts/reading.ts';
import { invert, transposePitch } from '../../shared-core/pitch/interval.ts';
import { type Key, signatureOf } from '../../shared-core/pitch/key.ts';
import { type Letter, type Pitch, spelled, staffStep } from '../../shared-core/pitch/spelled.ts';

/** How a line is read on the desk: as its player reads it, or as it sounds. */
export interface LineView {
  readonly key: Key;
  /** Sounding pitch to what is shown, and back. */
  readonly show: (sounding: Pitch) => Pitch;
  readonly sound: (shown: Pitch) => Pitch;
  readonly harmony: (concert: Harmony) => Harmony;
}

/** Whether what a chair reads differs from what sounds. */
export function readsOtherwise(chair: Chair, key: Key): boolean {
  return readingOf(chair, key, false).reading.toWritten.semitones !== 0;
}

/** The view of a line for a chair in a concert key. */
export function lineView(chair: Chair, key: Key, concert: boolean): LineView {
  if (concert || !readsOtherwise(chair, key)) {
    const same = <T>(value: T): T => value;
    return { key, show: same, sound: same, harmony: same };
  }
  const reading = readingOf(chair, key, false);
  const back = invert(reading.reading.toWritten);
  return {
    key: reading.key,
    show: reading.pitch,
    sound: (shown) => transposePitch(shown, back),
    harmony: reading.harmony,
  };
}

/** The note of a letter as the key signature has it: F in D major is F♯. */
export function inSignature(letter: Letter, key: Key): number {
  const first = signatureOf(key) - 1;
  for (const alter of [0, 1, -1]) {
    const pc = spelled(letter, alter);
    if (pc >= first && pc <= first + 6) return pc;
  }
  return spelled(letter);
}

/** A note of a letter, as near to another as it goes: the usual way of writing notes in by their letters. */
export function nearestOf(letter: Letter, near: Pitch, key: Key): Pitch {
  const pc = inSignature(letter, key);
  const octaves = [near.octave - 1, near.octave, near.octave + 1];
  const away = (octave: number) => Math.abs(staffStep({ pc, octave }) - staffStep(near));
  const octave = octaves.reduce((best, one) => (away(one) < away(best) ? one : best));
  return { pc, octave };
}

const LETTERS: readonly Letter[] = ['C', 'D', 'E', 'F', 'G', 'A', 'B'];

/** The note on a step of the staff (seven to the octave from C0), as the key signature has it. */
export function onStep(step: number, key: Key): Pitch {
  const letter = LETTERS[((step % 7) + 7) % 7] ?? 'C';
  return { pc: inSignature(letter, key), octave: Math.floor(step / 7) };
}
