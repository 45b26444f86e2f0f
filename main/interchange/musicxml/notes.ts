import { transposePitch } from '../../../shared-core/pitch/interval.ts';
import { type Letter, midiOf, type Pitch, spelled } from '../../../shared-core/pitch/spelled.ts';
import type { MelodyEvent } from '../../../shared-core/tune/model.ts';
import type { DraftBar } from '../draft.ts';
import { advance, type Measure, type Reader, ticksAt } from './reader.ts';
import { child, childrenOf, numberOf, textOf, type Xml } from './tree.ts';

/** A note of the melody at concert pitch, tied to the one before where the file says so. */
export function readNote(reader: Reader, measure: Measure, note: Xml): void {
  if (child(note, 'grace')) {
    reader.graces++;
    return;
  }
  const duration = numberOf(note, 'duration', 0);
  const isChord = child(note, 'chord') !== undefined;
  const start = isChord ? measure.chordStart : measure.cursor;
  if (!isChord) {
    measure.chordStart = measure.cursor;
    advance(measure, duration);
  }
  const pitch = pitchOf(note);
  if (!pitch || !isMelody(reader, note)) return;
  const at = ticksAt(reader, start);
  const sounding = transposePitch(pitch, reader.toConcert);
  addNote(reader, measure.bar, note, {
    at,
    length: ticksAt(reader, start + duration) - at,
    pitch: sounding,
  });
}

function addNote(reader: Reader, bar: DraftBar, note: Xml, event: MelodyEvent): void {
  const ties = childrenOf(note, 'tie').map((tie) => tie.attributes.type);
  const midi = midiOf(event.pitch);
  const waiting = reader.tied.get(midi);
  reader.tied.delete(midi);
  reader.pitchedNotes++;
  let place = waiting && ties.includes('stop') ? waiting : null;
  if (place) {
    const held = place.bar.notes[place.index] as MelodyEvent;
    place.bar.notes[place.index] = { ...held, length: held.length + event.length };
  } else {
    bar.notes.push(event);
    place = { bar, index: bar.notes.length - 1 };
  }
  if (ties.includes('start')) reader.tied.set(midi, place);
}

function pitchOf(note: Xml): Pitch | null {
  const pitch = child(note, 'pitch');
  const step = textOf(pitch, 'step').toUpperCase();
  const octave = numberOf(pitch, 'octave', Number.NaN);
  if (!/^[A-G]$/u.test(step) || !Number.isInteger(octave)) return null;
  const alter = Math.round(numberOf(pitch, 'alter', 0));
  if (Math.abs(alter) > 3 || octave < 0 || octave > 9) return null;
  return { pc: spelled(step as Letter, alter), octave };
}

/** Rhythm slashes and cue notes are no melody, nor are lower staves and second voices. */
function isMelody(reader: Reader, note: Xml): boolean {
  if (child(note, 'cue') || textOf(note, 'notehead').startsWith('slash')) return false;
  if ((textOf(note, 'staff') || '1') !== '1') return false;
  const voice = textOf(note, 'voice') || '1';
  reader.voice ??= voice;
  return voice === reader.voice;
}
