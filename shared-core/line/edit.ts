import type { Chord, Harmony } from '../chord/model.ts';
import { scalesFor } from '../chord/scales.ts';
import { notesOf } from '../chord/tones.ts';
import { respellSpelled, undouble } from '../pitch/copyist.ts';
import { type Key, signatureOf } from '../pitch/key.ts';
import {
  chromaOf,
  midiOf,
  modulo,
  type Pitch,
  pitchAt,
  respellNear,
  type Spelled,
} from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import type { LineNote } from './guide.ts';
import { GRID } from './rhythm.ts';

/** Lowest and highest sounding note a hand may move a note to: the keys of a piano. */
const LIMITS = { low: 21, high: 108 } as const;

/**
 * How a sounding note is spelled over a chord in a key: as the chord has it, else as the first scale over
 * the chord has it, else chromatically: a sharp rising, a flat falling, never doubled where the key has a
 * plainer name. Common practice, no source.
 *
 * @param midi sounding MIDI note
 * @param rising whether the note was reached from below
 * @example spelledOver(63, parse('Cm7'), C minor, true).pc // Eb, though rising
 */
export function spelledOver(
  midi: number,
  harmony: Harmony | null,
  key: Key,
  rising: boolean,
): Pitch {
  const chroma = modulo(midi, 12);
  const known = harmony?.kind === 'chord' ? spellings(harmony, key) : [];
  const pc = known.find((one) => chromaOf(one) === chroma) ?? chromatic(chroma, key, rising);
  return pitchAt(midi, undouble(pc));
}

function spellings(chord: Chord, key: Key): readonly Spelled[] {
  const scale = scalesFor(chord, key)[0]?.notes ?? [];
  // An alt chord names no fifth and no ninth; its scale does.
  const tones = chord.quality.alt ? [...scale, ...notesOf(chord)] : [...notesOf(chord), ...scale];
  return tones.map((pc) => respellSpelled(pc, key));
}

function chromatic(chroma: number, key: Key, rising: boolean): Spelled {
  // Seven to the right of the signature's middle lie its raised notes, seven to the left its lowered ones.
  const middle = signatureOf(key) + 2;
  const natural = respellNear(modulo(chroma * 7, 12), middle);
  const inKey = natural - signatureOf(key) >= -1 && natural - signatureOf(key) <= 5;
  if (inKey) return natural;
  const wanted = respellSpelled(respellNear(natural, rising ? middle + 6 : middle - 6), key);
  // Between the notes of chord and key nobody wants to read Cb, Fb, E# or B#.
  if (wanted <= -7) return wanted + 12;
  return wanted >= 11 ? wanted - 12 : wanted;
}

/**
 * Moves one note of a line by semitones (12 is an octave), spelled anew over what sounds there; an octave
 * keeps its spelling. Null where the note would leave the piano.
 *
 * @param harmony what the soloist plays over at the note's start
 */
export function moveNote<N extends LineNote>(
  notes: readonly N[],
  index: number,
  semitones: number,
  harmony: Harmony | null,
  key: Key,
): readonly N[] | null {
  const note = notes[index];
  if (!note) return null;
  const midi = midiOf(note.pitch) + semitones;
  if (midi < LIMITS.low || midi > LIMITS.high) return null;
  const pitch =
    semitones % 12 === 0
      ? pitchAt(midi, note.pitch.pc)
      : spelledOver(midi, harmony, key, semitones > 0);
  return notes.map((other, at) => (at === index ? { ...other, pitch } : other));
}

/**
 * Makes one note of a line longer or shorter by so many eighths. Null where it would vanish, sound into the
 * next note, or go past `end`.
 *
 * @param end tick at which the line ends
 */
export function stretchNote<N extends LineNote>(
  notes: readonly N[],
  index: number,
  eighths: number,
  end: Ticks,
): readonly N[] | null {
  const note = notes[index];
  if (!note) return null;
  const length = note.length + eighths * GRID;
  const free = notes[index + 1]?.start ?? end;
  if (length <= 0 || note.start + length > free) return null;
  return notes.map((other, at) => (at === index ? { ...other, length } : other));
}
