import type { Harmony } from '../../../shared-core/chord/model.ts';
import { parseChord } from '../../../shared-core/chord/parse.ts';
import { notesOf } from '../../../shared-core/chord/tones.ts';
import type { Key } from '../../../shared-core/pitch/key.ts';
import {
  chromaOf,
  modulo,
  type Pitch,
  pitchAt,
  respellNear,
} from '../../../shared-core/pitch/spelled.ts';
import {
  barTicks,
  beatTicks,
  type Meter,
  parseMeter,
  TICKS_PER_QUARTER,
  type Ticks,
} from '../../../shared-core/time/meter.ts';
import { type DraftBar, draftBar, emptyDraft, type Warnings } from '../draft.ts';
import { finishTune, type ImportedTune } from '../finish.ts';
import { holdLimit, LIMITS } from '../limits.ts';
import { countedIn, DRUM_CHANNEL } from './count-in.ts';
import { type FileNote, type FileText, type MidiFile, readMidiFile } from './file.ts';

/**
 * Reads a Standard MIDI File as a tune: bars from its meters, chords from text, lyric, marker or cue
 * events that are chord symbols, section names from the other markers, melody from the track that looks
 * most like one. Bars counted in (see `countedIn`) are no part of the tune. Without tempo and meter events it is 120 and 4/4, as the standard says.
 */
export function readMidi(bytes: Uint8Array, fileName: string): ImportedTune {
  const file = readMidiFile(bytes);
  const draft = emptyDraft();
  for (const warning of file.warnings) draft.warnings.add(warning);
  const from = ticksAt(file, countedIn(file));
  const bars = barsFrom(from, barsOf(file, draft.warnings));
  shortenLast(bars, ticksAt(file, file.end) - from);
  const timeline: Timeline = { bars, from };
  draft.bars.push(...timeline.bars);
  const chords = chordTexts(file.texts);
  placeChords(timeline, file, chords);
  placeLabels(timeline, file, chords);
  draft.key = keyOf(file);
  const melody = melodyTrack(file);
  if (melody) placeMelody(timeline, file, melody, draft.key, draft.warnings);
  draft.title = titleOf(file, fileName);
  draft.tempo = tempoOf(file, draft.bars[0]?.meter ?? { count: 4, unit: 4 });
  return finishTune(draft);
}

/** A place in the file as ticks of the engine, to the nearest one. */
function ticksAt(file: MidiFile, tick: number): Ticks {
  return Math.round((tick * TICKS_PER_QUARTER) / file.division);
}

/** The bars of the tune, and the tick of the file at which they begin. */
interface Timeline {
  readonly bars: readonly DraftBar[];
  readonly from: Ticks;
}

/** The bars from a tick on; the one it lies in begins there, as a pickup does after its count. */
function barsFrom(from: Ticks, bars: readonly DraftBar[]): DraftBar[] {
  let start = 0;
  return bars.flatMap((bar) => {
    const end = start + bar.length;
    const length = end - Math.max(start, from);
    start = end;
    return length > 0 ? [{ ...bar, length }] : [];
  });
}

/** The last bar ends where the file does if that makes up for a pickup, and is whole otherwise. */
function shortenLast(bars: readonly DraftBar[], end: Ticks): void {
  const [first] = bars;
  const last = bars.at(-1);
  if (!first || !last || first === last) return;
  const start = bars.reduce((sum, bar) => sum + bar.length, -last.length);
  const length = end - start;
  if (length > 0 && first.length + length === barTicks(last.meter)) last.length = length;
}

/** Bars to the end of the last event; a meter change that does not fall on a bar line shortens the bar before. */
function barsOf(file: MidiFile, warnings: Warnings): DraftBar[] {
  const bars: DraftBar[] = [];
  const lastNote = file.notes.reduce((last, note) => Math.max(last, note.end), 0);
  const lastText = file.texts.reduce((last, text) => Math.max(last, text.tick + 1), 0);
  const end = ticksAt(file, Math.max(lastNote, lastText));
  let start = 0;
  let meter: Meter = { count: 4, unit: 4 };
  const changes = file.meters.map((change) => ({ ...change, at: ticksAt(file, change.tick) }));
  while (start < end) {
    while (changes[0] && changes[0].at <= start) {
      const change = changes.shift();
      const next = change && parseMeter(`${change.count}/${change.unit}`);
      if (next) meter = next;
      else warnings.add(`A meter of ${change?.count}/${change?.unit} was passed over.`);
    }
    const cut = changes[0] ? changes[0].at - start : Number.POSITIVE_INFINITY;
    const length = Math.min(barTicks(meter), cut);
    bars.push(draftBar(meter, length));
    holdLimit(bars.length, LIMITS.bars, 'bars');
    start += length;
  }
  return bars;
}

/** Runs through places in order of time and gives the bar of each. */
function barFinder({ bars, from }: Timeline): (at: Ticks) => { bar: DraftBar; at: Ticks } | null {
  let index = 0;
  let start = from;
  return (at) => {
    if (at < from) return null;
    while (index < bars.length && at >= start + (bars[index]?.length ?? 0)) {
      start += bars[index]?.length ?? 0;
      index++;
    }
    const bar = bars[index];
    return bar ? { bar, at: at - start } : null;
  };
}

const TEXT_TYPES = [1, 5, 6, 7] as const;
const MARKER = 6;

/**
 * The text events that are the chord symbols: of all kinds of text event the one with most symbols, if
 * most of its events are. Markers that are all single letters name sections, not chords.
 */
function chordTexts(texts: readonly FileText[]): ReadonlyMap<FileText, Harmony> {
  let best: ReadonlyMap<FileText, Harmony> = new Map();
  for (const type of TEXT_TYPES) {
    const own = texts.filter((text) => text.type === type);
    const read = new Map<FileText, Harmony>();
    for (const event of own) {
      const chord = parseChord(event.text);
      if (chord.ok) read.set(event, chord.value);
    }
    const isSections = type === MARKER && own.every(({ text }) => /^[A-G]'?$/u.test(text));
    if (!isSections && read.size * 2 >= own.length && read.size > best.size) best = read;
  }
  return best;
}

function placeChords(
  timeline: Timeline,
  file: MidiFile,
  chords: ReadonlyMap<FileText, Harmony>,
): void {
  const find = barFinder(timeline);
  for (const [event, harmony] of chords) {
    const place = find(onGrid(ticksAt(file, event.tick), TICKS_PER_QUARTER / 2));
    place?.bar.harmony.push({ at: place.at, harmony });
  }
}

function placeLabels(
  timeline: Timeline,
  file: MidiFile,
  chords: ReadonlyMap<FileText, Harmony>,
): void {
  const find = barFinder(timeline);
  const markers = file.texts.filter((event) => event.type === MARKER && !chords.has(event));
  const choruses = markers.filter(({ text }) => CHORUS.test(text));
  for (const event of markers) {
    const place = find(ticksAt(file, event.tick));
    if (!place) continue;
    const before = place.bar.label;
    // The one chorus of a file is the tune: the name of its first section says more.
    const counts = before === choruses[0]?.text && choruses.length === 1;
    place.bar.label = joined(counts ? null : before, sectionName(event.text));
  }
}

/** How a chorus of an arrangement is marked: by its number, and a name where it has one. */
const CHORUS = /^chorus \d+(?:$|:)/iu;

/** `Section A` is the section A. */
function sectionName(marker: string): string {
  return marker.replace(/^section\s+(?=\S)/iu, '');
}

/** Two names at one bar, as of a chorus and of its first section, are kept side by side. */
function joined(before: string | null, name: string): string {
  return before === null || before === name ? name : `${before} ${name}`;
}

function onGrid(ticks: Ticks, grid: Ticks): Ticks {
  return Math.round(ticks / grid) * grid;
}

function keyOf(file: MidiFile): Key | null {
  const key = file.keys[0];
  if (!key) return null;
  return key.minor
    ? { tonic: key.fifths + 3, mode: 'minor' }
    : { tonic: key.fifths, mode: 'major' };
}

/** First tempo of any track; 120 quarters a minute without one. */
function tempoOf(file: MidiFile, meter: Meter): number | null {
  const microseconds = file.tempos[0]?.microseconds ?? 500_000;
  const beats = (60_000_000 / microseconds) * (TICKS_PER_QUARTER / beatTicks(meter));
  const whole = Math.round(beats);
  // Files hold whole microseconds: 132 comes back as 132.0001.
  const tempo = Math.abs(beats - whole) < 0.02 ? whole : Number(beats.toFixed(2));
  return tempo >= 20 && tempo <= 500 ? tempo : null;
}

/** The name of the first track, where it is no instrument's; else the file's own name. */
function titleOf(file: MidiFile, fileName: string): string {
  const name = file.texts.find(({ type, track, tick }) => type === 3 && track === 0 && tick === 0);
  return name?.text ?? fileName.replace(/^.*[\\/]/u, '').replace(/\.[^.]*$/u, '');
}

/**
 * The notes of the track and channel that look most like a melody: named so, else the highest of those
 * that play one note at a time.
 */
function melodyTrack(file: MidiFile): readonly FileNote[] | null {
  const groups = new Map<number, FileNote[]>();
  for (const note of file.notes) {
    if (note.channel === DRUM_CHANNEL) continue;
    const id = note.track * 16 + note.channel;
    const group = groups.get(id);
    if (group) group.push(note);
    else groups.set(id, [note]);
  }
  const scored = [...groups.values()].map((notes) => ({ notes, score: melodyScore(file, notes) }));
  return scored.sort((a, b) => b.score - a.score)[0]?.notes ?? null;
}

function melodyScore(file: MidiFile, notes: readonly FileNote[]): number {
  const track = notes[0]?.track;
  const name = file.texts.find((text) => text.type === 3 && text.track === track)?.text ?? '';
  const named = /\b(melody|lead|head|theme|vocal|voice|solo)/iu.test(name) ? 100 : 0;
  const notMelody = /\b(bass|drum|guitar comp|comping|chords|pad|strings)/iu.test(name) ? 40 : 0;
  let overlaps = 0;
  notes.forEach((note, i) => {
    if ((notes[i + 1]?.start ?? Number.POSITIVE_INFINITY) < note.end - file.division / 8)
      overlaps++;
  });
  const height = notes.reduce((sum, note) => sum + note.key, 0) / notes.length;
  return named - notMelody + height - (overlaps / notes.length) * 60;
}

/** Notes on sixteenths and eighth triplets; played ones are moved to the nearest. */
function placeMelody(
  timeline: Timeline,
  file: MidiFile,
  notes: readonly FileNote[],
  key: Key | null,
  warnings: Warnings,
): void {
  const find = barFinder(timeline);
  let moved = 0;
  for (const note of notes) {
    const start = ticksAt(file, note.start);
    const end = ticksAt(file, note.end);
    const at = nearest(start);
    const length = Math.max(nearest(end) - at, 240);
    if (Math.abs(at - start) > 60) moved++;
    const place = find(at);
    if (!place) continue;
    const harmony = place.bar.harmony.filter((event) => event.at <= place.at).at(-1)?.harmony;
    place.bar.notes.push({ at: place.at, length, pitch: spelledIn(note.key, key, harmony) });
  }
  if (moved > 0) {
    const which = moved === 1 ? 'One melody note was' : `${moved} melody notes were`;
    warnings.add(`${which} moved to the nearest sixteenth or triplet.`);
  }
}

function nearest(ticks: Ticks): Ticks {
  const sixteenth = onGrid(ticks, TICKS_PER_QUARTER / 4);
  const triplet = onGrid(ticks, TICKS_PER_QUARTER / 3);
  return Math.abs(ticks - triplet) < Math.abs(ticks - sixteenth) ? triplet : sixteenth;
}

/** A note of the chord is spelled as the chord spells it; others lie near the key on the line of fifths. */
function spelledIn(midi: number, key: Key | null, harmony: Harmony | undefined): Pitch {
  const chroma = modulo(midi, 12);
  const tones = harmony?.kind === 'chord' ? notesOf(harmony) : [];
  const tone = tones.find((pc) => chromaOf(pc) === chroma);
  if (tone !== undefined) return pitchAt(midi, tone);
  const signature = key ? (key.mode === 'major' ? key.tonic : key.tonic - 3) : 0;
  return pitchAt(midi, respellNear(modulo(chroma * 7, 12), signature + 2));
}
