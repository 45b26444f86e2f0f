import type { Chord } from '../chord/model.ts';
import { chromaOf, midiOf, modulo, type Pitch, pitchAt, type Spelled } from '../pitch/spelled.ts';
import { beatsPerBar, beatTicks, type Ticks } from '../time/meter.ts';
import { type BarPlace, type StaffWriter, withLengths } from './content.ts';
import type { PartEvent } from './model.ts';
import { offBeats, silenced, slashes } from './slashes.ts';
import { soundingIn } from './timeline.ts';

/** Written range a bass part keeps to. */
export interface BassRange {
  readonly low: Pitch;
  readonly high: Pitch;
}

/**
 * Bass: the note a chord stands on (its root, or the bass after the slash) written where the chord
 * begins, slashes for the rest; half notes under `two-feel`; the held note under `pedal`.
 */
export function bassWriter(range: BassRange): StaffWriter {
  return {
    events: (place) => silenced(rootsAndSlashes(place, range), place.band, place.bar.length),
    implied: (events, { bar, band }) =>
      offBeats(bar.meter, band.chords).length === 0 &&
      events.every(({ kind }) => kind === 'slash' || kind === 'note'),
    under: (words, place) => (words === 'two-feel' ? twoFeel(place, range) : null),
  };
}

/** The note a chord stands on. */
function footOf(chord: Chord): Spelled {
  return chord.bass ?? chord.root;
}

/** A pitch class low in the range: within the octave above its lowest note, or the next where that is not reached. */
export function lowPitch(pc: Spelled, range: BassRange): Pitch {
  const low = midiOf(range.low);
  const midi = low + modulo(chromaOf(pc) - low, 12);
  return pitchAt(midi <= midiOf(range.high) ? midi : midi - 12, pc);
}

function note(pitch: Pitch, at: Ticks, length: Ticks): PartEvent {
  return { kind: 'note', at, length, pitches: [pitch], tied: false, mark: null, weight: 'play' };
}

function rootsAndSlashes({ bar, band }: BarPlace, range: BassRange): PartEvent[] {
  const feet = new Map<Ticks, Pitch>();
  for (const { at, harmony } of band.chords)
    if (harmony.kind === 'chord') feet.set(at, lowPitch(footOf(harmony), range));
  return slashes(bar.meter, bar.length).flatMap((slash): PartEvent[] => {
    const end = slash.at + slash.length;
    const inside = [...feet.keys()].filter((at) => at >= slash.at && at < end);
    if (inside.length === 0) return [slash];
    const first = inside[0] ?? slash.at;
    const events: PartEvent[] =
      first > slash.at ? [{ kind: 'rest', at: slash.at, length: first - slash.at }] : [];
    inside.forEach((at, index) => {
      const pitch = feet.get(at);
      if (pitch) events.push(note(pitch, at, (inside[index + 1] ?? end) - at));
    });
    return events;
  });
}

/** Two notes a bar: the root, then the fifth (or the root again where the chord has another one there). */
function twoFeel({ bar, band }: BarPlace, range: BassRange): PartEvent[] | null {
  const beats = beatsPerBar(bar.meter);
  if (bar.length !== beats * beatTicks(bar.meter) || beats % 2 !== 0) return null;
  const half = bar.length / 2;
  const chords = withLengths(soundingIn(band), bar.length);
  return [0, half].map((at): PartEvent => {
    const held = chords.find((chord) => at >= chord.at && at < chord.at + chord.length);
    if (!held || held.harmony.kind === 'none') return { kind: 'rest', at, length: half };
    const chord = held.harmony;
    const arrives = held.at === at || at === 0;
    const fifth = chord.quality.degrees.findIndex((degree) => degree.number === 5);
    const place = chord.quality.fifths[fifth];
    const pc =
      arrives || chord.bass !== null || place === undefined ? footOf(chord) : chord.root + place;
    return note(lowPitch(pc, range), at, half);
  });
}

/** Notes of a written line, written pitch, by the tick they begin at from the first chorus' start. */
export type WrittenLine = ReadonlyMap<Ticks, { readonly length: Ticks; readonly pitch: Pitch }>;

/** Bass with its line written out: what the line holds, rests where it is silent. */
export function writtenBass(line: WrittenLine): StaffWriter {
  const starts = [...line.keys()].sort((a, b) => a - b);
  return {
    events: ({ start, bar }) => {
      const events: PartEvent[] = [];
      let at = 0;
      for (const from of starts) {
        const held = line.get(from);
        if (!held || from < start || from >= start + bar.length) continue;
        const place = from - start;
        if (place > at) events.push({ kind: 'rest', at, length: place - at });
        const length = Math.min(held.length, bar.length - place);
        events.push(note(held.pitch, place, length));
        at = place + length;
      }
      if (at < bar.length) events.push({ kind: 'rest', at, length: bar.length - at });
      return events;
    },
    under: () => null,
  };
}
