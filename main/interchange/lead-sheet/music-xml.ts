import { chordXml } from '../../../shared-core/notation/chord-xml.ts';
import { keyAlter } from '../../../shared-core/notation/events.ts';
import { type NoteValue, noteValues } from '../../../shared-core/notation/values.ts';
import { element, textElement } from '../../../shared-core/notation/xml.ts';
import { signatureOf } from '../../../shared-core/pitch/key.ts';
import { alterOf, letterOf, type Pitch, staffStep } from '../../../shared-core/pitch/spelled.ts';
import { beatTicks, type Meter, type Ticks } from '../../../shared-core/time/meter.ts';
import type { HarmonyEvent } from '../../../shared-core/tune/model.ts';
import type { PageBar } from '../../../shared-core/tune/page.ts';
import { beamsOf, type Flagged } from '../beams.ts';
import type { Sheet } from './sheet.ts';
import type { Piece } from './voice.ts';

/** Notes and rests with the chords before the note they fall in. */
export function musicXml({ tune, run, melody }: Sheet, index: number): string {
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
