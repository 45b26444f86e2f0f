import { chordXml } from '../../shared-core/notation/chord-xml.ts';
import { keyAlter } from '../../shared-core/notation/events.ts';
import { type NoteValue, noteValues } from '../../shared-core/notation/values.ts';
import { element, textElement } from '../../shared-core/notation/xml.ts';
import { signatureOf } from '../../shared-core/pitch/key.ts';
import { alterOf, letterOf, type Pitch, staffStep } from '../../shared-core/pitch/spelled.ts';
import { err, ok, type Result } from '../../shared-core/result.ts';
import {
  barTicks,
  beatTicks,
  isCompound,
  type Meter,
  sameMeter,
  TICKS_PER_QUARTER,
  type Ticks,
} from '../../shared-core/time/meter.ts';
import type {
  FormJump,
  FormMark,
  HarmonyEvent,
  MelodyEvent,
  Tune,
  TuneError,
} from '../../shared-core/tune/model.ts';
import type { PageBar } from '../../shared-core/tune/page.ts';
import { findRepeats, type Repeat } from '../../shared-core/tune/repeats.ts';
import { jumpName } from '../../shared-core/tune/route.ts';
import { type Run, runOf } from '../../shared-core/tune/unroll.ts';
import { beamsOf, type Flagged } from './beams.ts';

const HEAD =
  '<?xml version="1.0" encoding="UTF-8"?>\n' +
  '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">\n';

/** What the measures are written from. */
interface Sheet {
  readonly tune: Tune;
  readonly run: Run;
  readonly repeats: readonly Repeat[];
  readonly melody: readonly (readonly Piece[])[];
}

/** A stretch of the voice within one bar: a note, a part of one, or a rest. */
interface Piece {
  readonly at: Ticks;
  readonly length: Ticks;
  readonly pitch: Pitch | null;
  readonly tiedFrom: boolean;
  readonly tiedTo: boolean;
}

/**
 * A tune as a lead sheet in MusicXML 4.0: one part at concert pitch with chords, melody, repeats, endings
 * and jumps. MusicXML has no form line, so the sections stand in the order in which they are played; a
 * repeat without an opening sign gets one.
 *
 * @returns the file's text, or why the tune's signs cannot be played (see `unroll`)
 */
export function tuneToMusicXml(tune: Tune): Result<string, TuneError> {
  const run = runOf(tune);
  if (!run.ok) return run;
  const { bars, bounds } = run.value;
  const repeats = findRepeats(
    bars.map(({ bar }) => bar),
    bounds,
  );
  if (!repeats.ok) {
    const { code, data, index } = repeats.error;
    return err({ code, place: { bar: index + 1 }, data });
  }
  const sheet: Sheet = {
    tune,
    run: run.value,
    repeats: repeats.value,
    melody: piecesOf(bars),
  };
  const score = element(
    'score-partwise',
    { version: '4.0' },
    element('work', {}, textElement('work-title', tune.title)),
    element(
      'identification',
      {},
      tune.credit === null ? '' : textElement('creator', tune.credit, { type: 'composer' }),
      element('encoding', {}, textElement('software', 'Changewright')),
    ),
    element('part-list', {}, element('score-part', { id: 'P1' }, textElement('part-name', 'Lead'))),
    element('part', { id: 'P1' }, ...bars.map((_bar, index) => measureXml(sheet, index))),
  );
  return ok(`${HEAD}${score}\n`);
}

function measureXml(sheet: Sheet, index: number): string {
  const here = sheet.run.bars[index] as PageBar;
  const isShort = here.bar.length < barTicks(here.meter);
  const hasPickup = sheet.tune.pickup > 0;
  return element(
    'measure',
    { number: hasPickup ? index : index + 1, implicit: isShort ? 'yes' : undefined },
    leftXml(sheet, index),
    attributesXml(sheet, index),
    directionsXml(sheet, index),
    musicXml(sheet, index),
    closingXml(sheet, index),
    rightXml(sheet, index),
  );
}

function leftXml({ repeats }: Sheet, index: number): string {
  const ending = repeats.flatMap(({ endings }) => endings).find(({ start }) => start === index);
  const opens = repeats.some(({ start }) => start === index);
  if (!ending && !opens) return '';
  return element(
    'barline',
    { location: 'left' },
    opens ? textElement('bar-style', 'heavy-light') : '',
    ending ? element('ending', { number: ending.numbers.join(', '), type: 'start' }) : '',
    opens ? element('repeat', { direction: 'forward' }) : '',
  );
}

function rightXml({ run, repeats }: Sheet, index: number): string {
  const ending = repeats.flatMap(({ endings }) => endings).find(({ end }) => end === index);
  const repeatEnd = run.bars[index]?.bar.repeatEnd ?? 0;
  const isLast = index === run.bars.length - 1;
  if (!ending && repeatEnd === 0 && !isLast) return '';
  const number = ending?.numbers.join(', ');
  return element(
    'barline',
    { location: 'right' },
    repeatEnd > 0 || isLast ? textElement('bar-style', 'light-heavy') : '',
    ending ? element('ending', { number, type: repeatEnd > 0 ? 'stop' : 'discontinue' }) : '',
    repeatEnd > 0
      ? element('repeat', { direction: 'backward', times: repeatEnd > 2 ? repeatEnd : undefined })
      : '',
  );
}

function attributesXml({ tune, run }: Sheet, index: number): string {
  const { meter } = run.bars[index] as PageBar;
  const before = run.bars[index - 1]?.meter;
  const isFirst = index === 0;
  if (!isFirst && before && sameMeter(before, meter)) return '';
  return element(
    'attributes',
    {},
    isFirst ? textElement('divisions', TICKS_PER_QUARTER) : '',
    isFirst && tune.key
      ? element(
          'key',
          {},
          textElement('fifths', signatureOf(tune.key)),
          textElement('mode', tune.key.mode),
        )
      : '',
    element('time', {}, textElement('beats', meter.count), textElement('beat-type', meter.unit)),
    isFirst ? element('clef', {}, textElement('sign', 'G'), textElement('line', 2)) : '',
  );
}

/** A direction above the staff. */
function directionXml(type: string, sound: Readonly<Record<string, string | number>> = {}): string {
  return element(
    'direction',
    { placement: 'above' },
    element('direction-type', {}, type),
    Object.keys(sound).length > 0 ? element('sound', sound) : '',
  );
}

/** What stands at the start of a bar: the section, feel and tempo at the top, segno and coda. */
function directionsXml({ tune, run }: Sheet, index: number): string {
  const { bar, section, writtenBar } = run.bars[index] as PageBar;
  const starts = writtenBar === 0 || run.bounds.has(index);
  const label = starts ? (tune.sections[section]?.label ?? '') : '';
  return [
    label === '' ? '' : directionXml(textElement('rehearsal', label)),
    index === 0 && tune.feel !== null ? directionXml(textElement('words', tune.feel)) : '',
    index === 0 ? tempoXml(tune) : '',
    bar.marks.includes('segno') ? directionXml(element('segno'), { segno: 'segno' }) : '',
    bar.marks.includes('coda') ? directionXml(element('coda'), { coda: 'coda' }) : '',
  ].join('');
}

function tempoXml({ tempo, meter }: Tune): string {
  if (tempo === null) return '';
  const quarters = (tempo * beatTicks(meter)) / TICKS_PER_QUARTER;
  const unit = isCompound(meter) ? meter.unit / 2 : meter.unit;
  const names: Readonly<Record<number, string>> = {
    1: 'whole',
    2: 'half',
    4: 'quarter',
    8: 'eighth',
  };
  const name = names[unit] ?? '16th';
  const metronome = element(
    'metronome',
    {},
    textElement('beat-unit', name),
    isCompound(meter) ? element('beat-unit-dot') : '',
    textElement('per-minute', tempo),
  );
  return directionXml(metronome, { tempo: quarters });
}

/** What acts at the end of a bar: To Coda, Fine, D.C. and D.S. */
function closingXml({ run }: Sheet, index: number): string {
  const { bar } = run.bars[index] as PageBar;
  const has = (mark: FormMark) => bar.marks.includes(mark);
  return [
    has('to-coda') ? directionXml(textElement('words', 'To Coda'), { tocoda: 'coda' }) : '',
    has('fine') ? directionXml(textElement('words', 'Fine'), { fine: 'yes' }) : '',
    bar.jump ? directionXml(textElement('words', jumpName(bar.jump)), jumpSound(bar.jump)) : '',
  ].join('');
}

function jumpSound({ to }: FormJump): Readonly<Record<string, string>> {
  return to === 'capo' ? { dacapo: 'yes' } : { dalsegno: 'segno' };
}

/** Notes and rests with the chords before the note they fall in. */
function musicXml({ tune, run, melody }: Sheet, index: number): string {
  const { bar, meter } = run.bars[index] as PageBar;
  const pieces = melody[index] ?? [];
  const staff: Staff = {
    signature: tune.key ? signatureOf(tune.key) : 0,
    given: new Map(),
    beams: beamsOf(
      pieces.flatMap((piece) => flagsOf(piece, meter)),
      beatTicks(meter),
    ),
  };
  return pieces
    .map((piece) => {
      const end = piece.at + piece.length;
      const chords = bar.harmony.filter(({ at }) => at >= piece.at && at < end);
      const isWholeRest = piece.pitch === null && piece.length === bar.length;
      return [
        ...chords.map((chord) => harmonyXml(chord, piece.at)),
        isWholeRest ? restBarXml(piece.length) : notesXml(piece, meter, staff),
      ].join('');
    })
    .join('');
}

function harmonyXml({ at, harmony }: HarmonyEvent, from: Ticks): string {
  return chordXml(harmony, {
    mode: 'exchange',
    placement: 'above',
    offset: at - from,
    alternate: harmony.kind === 'chord' && harmony.optional,
    frets: null,
    text: '',
  });
}

function restBarXml(length: Ticks): string {
  return element(
    'note',
    {},
    element('rest', { measure: 'yes' }),
    textElement('duration', length),
    textElement('voice', 1),
  );
}

/** A piece as one or more printable values tied together; without a value where none is that long. */
function notesXml(piece: Piece, meter: Meter, staff: Staff): string {
  const values = valuesOf(piece, meter);
  return values
    .map((value, i) =>
      noteXml(
        piece.pitch,
        value,
        { stop: i > 0 || piece.tiedFrom, start: i < values.length - 1 || piece.tiedTo },
        staff,
      ),
    )
    .join('');
}

/** Place and flags of each value of a piece; rests have none and so part the beams. */
function flagsOf(piece: Piece, meter: Meter): Flagged[] {
  return valuesOf(piece, meter).map(({ at, shape }) => ({
    at,
    flags: piece.pitch && shape ? (FLAGS[shape.type] ?? 0) : 0,
  }));
}

const FLAGS: Readonly<Partial<Record<NoteValue['type'], number>>> = {
  eighth: 1,
  '16th': 2,
  '32nd': 3,
  '64th': 4,
};

interface Value {
  readonly at: Ticks;
  readonly ticks: Ticks;
  readonly shape: NoteValue | null;
}

function valuesOf({ at, length }: Piece, meter: Meter): readonly Value[] {
  try {
    let start = at;
    return noteValues(at, length, meter).map((shape) => {
      const value = { at: start, ticks: shape.ticks, shape };
      start += shape.ticks;
      return value;
    });
  } catch {
    // No note values make up this length: it is written by its duration alone, which is exact.
    return [{ at, ticks: length, shape: null }];
  }
}

function noteXml(
  pitch: Pitch | null,
  { at, ticks, shape }: Value,
  tie: { readonly stop: boolean; readonly start: boolean },
  staff: Staff,
): string {
  const ties =
    pitch === null ? [] : [tie.stop ? 'stop' : '', tie.start ? 'start' : ''].filter(Boolean);
  return element(
    'note',
    {},
    pitch === null ? element('rest') : pitchXml(pitch),
    textElement('duration', ticks),
    ...ties.map((type) => element('tie', { type })),
    textElement('voice', 1),
    shape ? textElement('type', shape.type) : '',
    shape?.dots ? element('dot') : '',
    pitch === null || tie.stop ? '' : accidentalXml(pitch, staff),
    shape?.triplet
      ? element(
          'time-modification',
          {},
          textElement('actual-notes', 3),
          textElement('normal-notes', 2),
        )
      : '',
    ...beamXml(pitch === null ? [] : (staff.beams.get(at) ?? [])),
    ties.length > 0
      ? element('notations', {}, ...ties.map((type) => element('tied', { type })))
      : '',
  );
}

function beamXml(levels: readonly string[]): string[] {
  return levels.map((level, i) => textElement('beam', level, { number: i + 1 }));
}

/** What a reader of the bar knows of sharps and flats: the signature, and what the bar has altered so far. */
interface Staff {
  readonly signature: number;
  readonly given: Map<number, number>;
  readonly beams: ReadonlyMap<Ticks, readonly string[]>;
}

const ACCIDENTALS: Readonly<Record<number, string>> = {
  [-3]: 'triple-flat',
  [-2]: 'flat-flat',
  [-1]: 'flat',
  0: 'natural',
  1: 'sharp',
  2: 'double-sharp',
  3: 'triple-sharp',
};

/**
 * The accidental a note needs where it stands. It has to be written out: an engraver prints what the file
 * says, not what the pitch implies.
 */
function accidentalXml(pitch: Pitch, { signature, given }: Staff): string {
  const step = staffStep(pitch);
  const alter = alterOf(pitch.pc);
  const current = given.get(step) ?? keyAlter(signature, letterOf(pitch.pc));
  if (current === alter) return '';
  given.set(step, alter);
  const name = ACCIDENTALS[alter];
  if (name === undefined) throw new Error(`No accidental for ${alter} semitones`);
  return textElement('accidental', name);
}

function pitchXml(pitch: Pitch): string {
  const alter = alterOf(pitch.pc);
  return element(
    'pitch',
    {},
    textElement('step', letterOf(pitch.pc)),
    alter === 0 ? '' : textElement('alter', alter),
    textElement('octave', pitch.octave),
  );
}

/** The voice of each bar without gaps. Notes are cut where the next one starts and tied over bar lines. */
function piecesOf(bars: readonly PageBar[]): Piece[][] {
  let start = 0;
  const notes: MelodyEvent[] = [];
  for (const { bar } of bars) {
    for (const note of bar.melody) notes.push({ ...note, at: start + note.at });
    start += bar.length;
  }
  const end = start;
  const voice = notes.map((note, i) => {
    const limit = notes[i + 1]?.at ?? end;
    return { ...note, length: Math.min(note.length, limit - note.at) };
  });
  start = 0;
  return bars.map(({ bar }) => {
    const from = start;
    start += bar.length;
    return barPieces(voice, from, start);
  });
}

function barPieces(voice: readonly MelodyEvent[], start: Ticks, end: Ticks): Piece[] {
  const pieces: Piece[] = [];
  let at = start;
  const rest = (to: Ticks) => {
    if (to > at) {
      pieces.push({ at: at - start, length: to - at, pitch: null, tiedFrom: false, tiedTo: false });
    }
  };
  for (const note of voice) {
    const stop = note.at + note.length;
    if (note.at >= end || stop <= start) continue;
    const from = Math.max(note.at, start);
    rest(from);
    pieces.push({
      at: from - start,
      length: Math.min(stop, end) - from,
      pitch: note.pitch,
      tiedFrom: note.at < start,
      tiedTo: stop > end,
    });
    at = Math.min(stop, end);
  }
  rest(end);
  return pieces;
}
