import { symbolOf } from '../chord/format.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { notesOf } from '../chord/tones.ts';
import { guideLine } from '../line/guide.ts';
import { atSight } from '../pitch/copyist.ts';
import { chromaOf, midiOf, modulo, type Pitch, pitchAt, type Spelled } from '../pitch/spelled.ts';
import { beatTicks, type Meter, type Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';
import { type BarPlace, type StaffWriter, withLengths } from './content.ts';
import type { NoteMark, PartEvent } from './model.ts';
import { slashes } from './slashes.ts';
import { soundingIn } from './timeline.ts';

/** Notes of a rewrite worth pointing at, in written pitch, with the time they belong to. */
export interface Telling {
  /** Ticks from the first chorus' start. */
  readonly start: Ticks;
  readonly length: Ticks;
  readonly tells: Spelled | null;
  readonly home: Spelled | null;
}

/** What the soloist's staff is written from. Everything in written pitch. */
export interface SoloistInput {
  /** The plain chorus: its guide-tone line is the thread every chorus comes back to. */
  readonly chorus: readonly TimedHarmony[];
  readonly low: Pitch;
  readonly high: Pitch;
  readonly tellings: readonly Telling[];
  /** Melody of the chorus, ticks from its start; empty for none. */
  readonly melody: readonly {
    readonly start: Ticks;
    readonly length: Ticks;
    readonly pitch: Pitch;
  }[];
  /** Lines kept for this chair: chorus ticks, in the 0-based chorus they are played in. */
  readonly lines: readonly {
    readonly chorus: number;
    readonly start: Ticks;
    readonly length: Ticks;
    readonly notes: SoloistInput['melody'];
  }[];
  /** 0-based choruses that play the melody. */
  readonly heads: ReadonlySet<number>;
  /** Whether the soloist plays something else than the band at a moment (ticks from the first chorus' start). */
  readonly over: (at: Ticks) => boolean;
  /** Whether plain bars show the guide-tone line; slashes otherwise. */
  readonly guideTones: boolean;
}

/**
 * The soloist's staff: a kept line wherever there is one; the melody in head choruses; elsewhere the guide-tone line in small notes, and
 * over every superimposed chord its arpeggio in full size, with the note that tells and the note that
 * brings it home marked.
 */
export function soloistWriter(input: SoloistInput): StaffWriter {
  const line = new Map(
    guideLine(input.chorus, { low: midiOf(input.low), high: midiOf(input.high) }).map((note) => [
      note.start,
      note.pitch,
    ]),
  );
  const thread = new GuideThread(input.chorus, line, input);
  return {
    events: (place) => {
      const line = lineAt(input, place);
      if (line) return noteEvents(line.notes, place);
      if (input.heads.has(place.chorus) && input.melody.length > 0)
        return noteEvents(input.melody, place);
      return soloEvents(input, thread, place);
    },
    under: () => null,
  };
}

/** Finds the guide tone of the plain line at a place, or the nearest one of another chord. */
class GuideThread {
  readonly #chorus: readonly TimedHarmony[];
  readonly #line: ReadonlyMap<Ticks, Pitch>;
  readonly #range: { readonly low: Pitch; readonly high: Pitch };

  constructor(
    chorus: readonly TimedHarmony[],
    line: ReadonlyMap<Ticks, Pitch>,
    range: { readonly low: Pitch; readonly high: Pitch },
  ) {
    this.#chorus = chorus;
    this.#line = line;
    this.#range = range;
  }

  /** @param at chorus ticks */
  at(at: Ticks, chord: Chord): Pitch {
    const written = this.#chorus.find(
      (event) => at >= event.start && at < event.start + event.length,
    );
    const pitch = written ? this.#line.get(written.start) : undefined;
    if (written && pitch && symbolOf(written.harmony) === symbolOf(chord)) return pitch;
    const near = pitch ? midiOf(pitch) : (midiOf(this.#range.low) + midiOf(this.#range.high)) / 2;
    const guides = chordGuides(chord).map((pc) => nearest(pc, near, this.#range));
    return guides.reduce((best, other) =>
      Math.abs(midiOf(other) - near) < Math.abs(midiOf(best) - near) ? other : best,
    );
  }
}

/** Third and seventh, or what stands for them; at least the root. */
function chordGuides(chord: Chord): readonly Spelled[] {
  const wanted = chord.quality.degrees
    .map((degree, index) => ({ degree, pc: chord.root + (chord.quality.fifths[index] ?? 0) }))
    .filter(({ degree }) => [3, 7, 6, 4, 2].includes(degree.number))
    .map(({ pc }) => pc);
  return wanted.length > 0 ? wanted : [chord.root];
}

/** A pitch class at the place nearest to a MIDI number, inside the range. */
function nearest(pc: Spelled, midi: number, range: { low: Pitch; high: Pitch }): Pitch {
  let place = midi - modulo(Math.round(midi) - chromaOf(pc), 12);
  place = Math.round(place);
  while (modulo(place, 12) !== chromaOf(pc)) place++;
  if (Math.abs(place + 12 - midi) < Math.abs(place - midi)) place += 12;
  while (place > midiOf(range.high)) place -= 12;
  while (place < midiOf(range.low)) place += 12;
  return pitchAt(place, pc);
}

function soloEvents(input: SoloistInput, thread: GuideThread, place: BarPlace): PartEvent[] {
  const { bar } = place;
  const offset = bar.start;
  const events: PartEvent[] = [];
  for (const chord of withLengths(soundingIn(place.solo), bar.length)) {
    const { harmony, at, length } = chord;
    const over = place.differs && !sounds(place, at, length, harmony);
    if (harmony.kind === 'none') events.push({ kind: 'rest', at, length });
    else if (over) events.push(...arpeggio(input, place, harmony, at, length));
    else events.push(...plain(input, thread, place, harmony, at, length, offset));
  }
  return events.length > 0 ? events : slashes(bar.meter, bar.length);
}

/** Whether the band plays this very harmony all through [at, at + length). */
function sounds(place: BarPlace, at: Ticks, length: Ticks, harmony: Harmony): boolean {
  const symbol = symbolOf(harmony);
  return withLengths(soundingIn(place.band), place.bar.length)
    .filter((held) => held.at < at + length && held.at + held.length > at)
    .every((held) => symbolOf(held.harmony) === symbol);
}

/** A bar (or part of one) where the soloist has what the band has: guide tone or slashes; `home` where one is due. */
function plain(
  input: SoloistInput,
  thread: GuideThread,
  place: BarPlace,
  chord: Chord,
  at: Ticks,
  length: Ticks,
  offset: Ticks,
): PartEvent[] {
  const home = homeDue(input, place.start + at, chord);
  if (!home && !input.guideTones)
    return slashes(place.bar.meter, place.bar.length)
      .filter((slash) => slash.at >= at && slash.at < at + length)
      .map((slash) => ({ ...slash, length: Math.min(slash.length, at + length - slash.at) }));
  const guide = thread.at(offset + at, chord);
  const pitch = home === null ? guide : nearest(home, midiOf(guide), input);
  return [
    {
      kind: 'note',
      at,
      length,
      pitches: [atSight(pitch)],
      tied: false,
      mark: home === null ? null : 'home',
      weight: home === null ? 'line' : 'play',
    },
  ];
}

/** The note that brings a rewrite home, when the chord at this moment is its first one back. */
function homeDue(input: SoloistInput, at: Ticks, chord: Chord): Spelled | null {
  if (at === 0 || !input.over(at - 1)) return null;
  const telling = input.tellings.find(({ start, length }) => at > start && at <= start + length);
  if (!telling || telling.home === null) return null;
  const wanted = chromaOf(telling.home);
  return notesOf(chord).find((pc) => chromaOf(pc) === wanted) ?? null;
}

/** The arpeggio of a superimposed chord, from its root up, on the beats and between them as room asks. */
function arpeggio(
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

/** The kept line that claims some of a bar. */
function lineAt(
  input: SoloistInput,
  { chorus, bar }: BarPlace,
): SoloistInput['lines'][number] | null {
  return (
    input.lines.find(
      (line) =>
        line.chorus === chorus &&
        line.start < bar.start + bar.length &&
        bar.start < line.start + line.length,
    ) ?? null
  );
}

/** Melody or line of a bar: notes cut at its bar lines and tied over them, rests between. */
function noteEvents(notes: SoloistInput['melody'], { bar }: BarPlace): PartEvent[] {
  const end = bar.start + bar.length;
  const inside = notes.filter((note) => note.start < end && note.start + note.length > bar.start);
  const snap = gridOf(inside, bar.start);
  const events: PartEvent[] = [];
  let at = 0;
  for (const note of inside) {
    const from = Math.max(at, snap(Math.max(note.start, bar.start) - bar.start));
    const to = snap(Math.min(note.start + note.length, end) - bar.start);
    if (to <= from) continue;
    if (from > at) events.push({ kind: 'rest', at, length: from - at });
    events.push({
      kind: 'note',
      at: from,
      length: to - from,
      pitches: [note.pitch],
      tied: note.start + note.length > end,
      mark: null,
      weight: 'play',
    });
    at = to;
  }
  if (at < bar.length) events.push({ kind: 'rest', at, length: bar.length - at });
  return events;
}

/** Ticks of a sixty-fourth, and of a triplet of thirty-seconds: what note values are whole in. */
const GRIDS = [60, 80] as const;

/**
 * How places are written: as they are where note values can say them; else (quintuplets, a melody
 * played in live) at the nearest twelfth of a quarter. What sounds keeps its own time.
 */
function gridOf(notes: SoloistInput['melody'], from: Ticks): (at: Ticks) => Ticks {
  const places = notes.flatMap(({ start, length }) => [start - from, start + length - from]);
  const exact = GRIDS.some((grid) => places.every((place) => place % grid === 0));
  return exact ? (at) => at : (at) => Math.round(at / GRIDS[1]) * GRIDS[1];
}
