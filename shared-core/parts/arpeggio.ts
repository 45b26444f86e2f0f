import type { Chord } from '../chord/model.ts';
import { notesOf } from '../chord/tones.ts';
import { atSight } from '../pitch/copyist.ts';
import { chromaOf, midiOf, modulo, type Pitch, pitchAt, type Spelled } from '../pitch/spelled.ts';
import { beatTicks, type Meter, type Ticks } from '../time/meter.ts';
import type { BarPlace } from './content.ts';
import type { NoteMark, PartEvent } from './model.ts';
import type { SoloistInput } from './soloist-model.ts';

/** The arpeggio of a superimposed chord, from its root up, on the beats and between them as room asks. */
export function arpeggio(
  input: SoloistInput,
  place: BarPlace,
  chord: Chord,
  at: Ticks,
  length: Ticks,
): PartEvent[] {
  const slots = slotsOf(place.bar.meter, at, length);
  const rising = risingFrom(chord, slots.length, input);
  const telling = input.tellings.find(
    ({ start, length: lasts }) => place.start + at >= start && place.start + at < start + lasts,
  );
  const tells = telling?.tells ?? null;
  const pitches = tells === null ? rising : withTelling(rising, chord, tells, input);
  const telling0 =
    tells === null ? -1 : pitches.findIndex((pitch) => chromaOf(pitch.pc) === chromaOf(tells));
  return slots.map((slot, index): PartEvent => {
    const pitch = pitches[index] ?? (pitches[0] as Pitch);
    const mark: NoteMark | null = index === telling0 ? 'tells' : null;
    return { kind: 'note', ...slot, pitches: [atSight(pitch)], tied: false, mark, weight: 'play' };
  });
}

/** The arpeggio with the note that tells in it: on top where it is a ninth, a sixth or another note left out. */
function withTelling(
  rising: readonly Pitch[],
  chord: Chord,
  tells: Spelled,
  range: { readonly low: Pitch; readonly high: Pitch },
): readonly Pitch[] {
  const chroma = chromaOf(tells);
  const top = rising.at(-1);
  if (!top || rising.some((pitch) => chromaOf(pitch.pc) === chroma)) return rising;
  const note = notesOf(chord).find((pc) => chromaOf(pc) === chroma);
  return note === undefined
    ? rising
    : [...rising.slice(0, -1), nearest(note, midiOf(top) + 1, range)];
}

/** Notes of an arpeggio as it is spelled out. */
const ARPEGGIO = 4;

/**
 * Places for the notes of an arpeggio in [at, at + length): the beats; the first ones halved while there
 * are fewer than four; the last ones joined where there are more.
 */
function slotsOf(meter: Meter, at: Ticks, length: Ticks): readonly { at: Ticks; length: Ticks }[] {
  const beat = beatTicks(meter);
  const end = at + length;
  let slots: { at: Ticks; length: Ticks }[] = [];
  for (let from = at; from < end; ) {
    const to = Math.min(end, from - (from % beat) + beat);
    slots.push({ at: from, length: to - from });
    from = to;
  }
  for (let index = 0; index < slots.length && slots.length < ARPEGGIO; index++) {
    const slot = slots[index];
    if (!slot || slot.length !== beat || beat % 2 !== 0) continue;
    if (beat > 960) {
      // A dotted beat falls into a quarter and an eighth.
      const long = (beat * 2) / 3;
      slots.splice(
        index,
        1,
        { at: slot.at, length: long },
        { at: slot.at + long, length: beat - long },
      );
    } else {
      slots.splice(
        index,
        1,
        { at: slot.at, length: beat / 2 },
        { at: slot.at + beat / 2, length: beat / 2 },
      );
    }
    index++;
  }
  if (slots.length > ARPEGGIO) {
    const last = slots[ARPEGGIO - 1];
    if (last) slots = [...slots.slice(0, ARPEGGIO - 1), { at: last.at, length: end - last.at }];
  }
  return slots;
}

/** Tones for so many places: the third and seventh for two, else root, third, fifth, and seventh or octave. */
function tonesFor(chord: Chord, count: number): readonly Spelled[] {
  const tone = (...numbers: number[]): Spelled | null => {
    for (const number of numbers) {
      const index = chord.quality.degrees.findIndex((degree) => degree.number === number);
      const place = chord.quality.fifths[index];
      if (index >= 0 && place !== undefined) return chord.root + place;
    }
    return null;
  };
  const third = tone(3, 4, 2) ?? chord.root;
  const fifth = tone(5, 13, 11) ?? chord.root;
  const top = tone(7, 6, 9) ?? chord.root;
  if (count === 1) return [third];
  if (count === 2) return [third, top === chord.root ? fifth : top];
  return [chord.root, third, fifth, top].slice(0, count);
}

/** Lays tones out upwards in the octave that keeps them nearest the middle of the range. */
function risingFrom(chord: Chord, count: number, range: { low: Pitch; high: Pitch }): Pitch[] {
  const tones = tonesFor(chord, count);
  const middle = (midiOf(range.low) + midiOf(range.high)) / 2;
  const stack = (base: number): number[] => {
    let last = base - 1;
    return tones.map((pc) => {
      const midi = last + 1 + modulo(chromaOf(pc) - last - 1, 12);
      last = midi;
      return midi;
    });
  };
  let best: number[] | null = null;
  let bestCost = Number.POSITIVE_INFINITY;
  for (let octave = 0; octave <= 9; octave++) {
    const midis = stack(octave * 12 + chromaOf(tones[0] ?? 0));
    const outside = midis.filter((midi) => midi < midiOf(range.low) || midi > midiOf(range.high));
    const mean = midis.reduce((sum, midi) => sum + midi, 0) / midis.length;
    const cost = outside.length * 1000 + Math.abs(mean - middle);
    if (cost < bestCost) [best, bestCost] = [midis, cost];
  }
  return (best ?? []).map((midi, index) => pitchAt(midi, tones[index] ?? chord.root));
}

/** A pitch class at the place nearest to a MIDI number, inside the range. */
export function nearest(pc: Spelled, midi: number, range: { low: Pitch; high: Pitch }): Pitch {
  let place = midi - modulo(Math.round(midi) - chromaOf(pc), 12);
  place = Math.round(place);
  while (modulo(place, 12) !== chromaOf(pc)) place++;
  if (Math.abs(place + 12 - midi) < Math.abs(place - midi)) place += 12;
  while (place > midiOf(range.high)) place -= 12;
  while (place < midiOf(range.low)) place += 12;
  return pitchAt(place, pc);
}
