import { type Interval, interval, invert, transposePitch } from './interval.ts';
import { type Key, signatureOf } from './key.ts';
import { type Pitch, parseSpelled } from './spelled.ts';

/**
 * The instruments of a small band: how each is written, how far it reaches, how it sounds by default.
 * Sources of the rows: MusicXML 4.0 transpose values, a range table and an arranging textbook, listed
 * in tests/reference/transposition.json; comfortable ranges are common practice, no source.
 */

/**
 * Clef a part is written in. `grand` is a treble and a bass staff. `treble-octave-down` has the octave
 * sign in the clef: that sign says the octave, so a file that prints it needs no octave transposition.
 */
export type Clef = 'treble' | 'bass' | 'grand' | 'treble-octave-down' | 'percussion';

/** Kind of instrument, for grouping in lists. */
export type InstrumentFamily =
  | 'woodwind'
  | 'brass'
  | 'strings'
  | 'plucked'
  | 'keyboard'
  | 'percussion'
  | 'voice'
  | 'free-reed';

/** From the lowest to the highest written note. */
export interface PitchRange {
  readonly low: Pitch;
  readonly high: Pitch;
}

/** One instrument or voice. */
export interface Instrument {
  readonly id: string;
  readonly name: string;
  readonly family: InstrumentFamily;
  /**
   * What is added to the written pitch to get the sounding one, as MusicXML writes it: steps of the
   * staff and semitones without whole octaves, and whole octaves. All zero at concert pitch.
   */
  readonly transposition: {
    readonly diatonic: number;
    readonly chromatic: number;
    readonly octaveChange: number;
  };
  /** From concert to written, for a part in the transposed key as it falls (tenor saxophone: a ninth up). */
  readonly toWritten: Interval;
  readonly clef: Clef;
  /** Written range; null for unpitched percussion. */
  readonly range: PitchRange | null;
  /** Written range in which a player of a small band is at ease. */
  readonly comfortable: PitchRange | null;
  /** General MIDI program counted from 0; null for the drum set (channel 10). */
  readonly program: number | null;
}

function pitchOf(text: string): Pitch {
  const match = /^([A-G][b#]?)(\d)$/.exec(text);
  const pc = match ? parseSpelled(match[1] as string) : null;
  if (!match || pc === null) throw new Error(`Not a pitch: ${text}`);
  return { pc, octave: Number(match[2]) };
}

function rangeOf(text: string | null): PitchRange | null {
  if (text === null) return null;
  const [low = '', high = ''] = text.split(' ');
  return { low: pitchOf(low), high: pitchOf(high) };
}

/** Builds a row; a transposition of so many steps and semitones is an interval on the line of fifths. */
function row(
  id: string,
  name: string,
  family: InstrumentFamily,
  transposition: readonly [diatonic: number, chromatic: number, octaveChange: number],
  clef: Clef,
  range: string | null,
  comfortable: string | null,
  program: number | null,
): Instrument {
  const [diatonic, chromatic, octaveChange] = transposition;
  const fifths = 12 * diatonic - 7 * chromatic;
  return {
    id,
    name,
    family,
    transposition: { diatonic, chromatic, octaveChange },
    toWritten: interval(fifths === 0 ? 0 : fifths, 0 - chromatic - 12 * octaveChange),
    clef,
    range: rangeOf(range),
    comfortable: rangeOf(comfortable),
    program,
  };
}

/** Every instrument, in the order of a score's families. */
export const INSTRUMENTS: readonly Instrument[] = [
  row('flute', 'Flute', 'woodwind', [0, 0, 0], 'treble', 'C4 D7', 'D4 A6', 73),
  row('alto-flute', 'Alto flute', 'woodwind', [-3, -5, 0], 'treble', 'C4 C7', 'C4 D6', 73),
  row('clarinet-bb', 'Clarinet', 'woodwind', [-1, -2, 0], 'treble', 'E3 C7', 'E3 D6', 71),
  row('bass-clarinet', 'Bass clarinet', 'woodwind', [-1, -2, -1], 'treble', 'Eb3 G6', 'Eb3 C6', 71),
  row(
    'soprano-sax',
    'Soprano saxophone',
    'woodwind',
    [-1, -2, 0],
    'treble',
    'Bb3 F#6',
    'D4 D6',
    64,
  ),
  row('alto-sax', 'Alto saxophone', 'woodwind', [-5, -9, 0], 'treble', 'Bb3 F#6', 'D4 D6', 65),
  row('tenor-sax', 'Tenor saxophone', 'woodwind', [-1, -2, -1], 'treble', 'Bb3 F#6', 'D4 D6', 66),
  row(
    'baritone-sax',
    'Baritone saxophone',
    'woodwind',
    [-5, -9, -1],
    'treble',
    'A3 F#6',
    'C4 C6',
    67,
  ),
  row('trumpet-bb', 'Trumpet', 'brass', [-1, -2, 0], 'treble', 'F#3 D6', 'G3 A5', 56),
  row('flugelhorn', 'Flugelhorn', 'brass', [-1, -2, 0], 'treble', 'F#3 C6', 'G3 G5', 56),
  row('trombone', 'Trombone', 'brass', [0, 0, 0], 'bass', 'E2 Bb4', 'F2 F4', 57),
  row('horn-f', 'Horn in F', 'brass', [-4, -7, 0], 'treble', 'F#3 C6', 'C4 G5', 60),
  row('tuba', 'Tuba', 'brass', [0, 0, 0], 'bass', 'D1 D4', 'F1 Bb3', 58),
  row('violin', 'Violin', 'strings', [0, 0, 0], 'treble', 'G3 A7', 'G3 E6', 40),
  row('cello', 'Cello', 'strings', [0, 0, 0], 'bass', 'C2 C6', 'C2 G4', 42),
  row('vibraphone', 'Vibraphone', 'percussion', [0, 0, 0], 'treble', 'F3 F6', 'F3 F6', 11),
  row('acoustic-guitar', 'Acoustic guitar', 'plucked', [0, 0, -1], 'treble', 'E3 B5', 'E3 E5', 25),
  row('electric-guitar', 'Electric guitar', 'plucked', [0, 0, -1], 'treble', 'E3 D6', 'E3 A5', 26),
  row('double-bass', 'Double bass', 'plucked', [0, 0, -1], 'bass', 'E2 G4', 'E2 D4', 32),
  row('electric-bass', 'Electric bass', 'plucked', [0, 0, -1], 'bass', 'E2 G4', 'E2 D4', 33),
  row('piano', 'Piano', 'keyboard', [0, 0, 0], 'grand', 'A0 C8', 'C2 C7', 0),
  row('electric-piano', 'Electric piano', 'keyboard', [0, 0, 0], 'grand', 'E1 E7', 'C2 C6', 4),
  row('organ', 'Organ', 'keyboard', [0, 0, 0], 'grand', 'C2 C7', 'C2 C6', 16),
  row('accordion', 'Accordion', 'keyboard', [0, 0, 0], 'treble', 'F3 A6', 'A3 E6', 21),
  row('soprano-voice', 'Soprano voice', 'voice', [0, 0, 0], 'treble', 'C4 A5', 'D4 E5', 52),
  row('alto-voice', 'Alto voice', 'voice', [0, 0, 0], 'treble', 'G3 D5', 'A3 Bb4', 52),
  row(
    'tenor-voice',
    'Tenor voice',
    'voice',
    [0, 0, -1],
    'treble-octave-down',
    'C4 A5',
    'D4 F5',
    52,
  ),
  row('baritone-voice', 'Baritone voice', 'voice', [0, 0, 0], 'bass', 'G2 G4', 'A2 D4', 52),
  row('harmonica', 'Chromatic harmonica', 'free-reed', [0, 0, 0], 'treble', 'C4 D7', 'C4 C6', 22),
  row('drums', 'Drum set', 'percussion', [0, 0, 0], 'percussion', null, null, null),
];

/** Everyday names for the rows a band is most often made of. */
const ALIASES: Readonly<Record<string, string>> = {
  guitar: 'electric-guitar',
  bass: 'double-bass',
  clarinet: 'clarinet-bb',
  trumpet: 'trumpet-bb',
  horn: 'horn-f',
  'drum-set': 'drums',
  'drum-kit': 'drums',
};

const BY_ID: ReadonlyMap<string, Instrument> = new Map(
  INSTRUMENTS.map((instrument) => [instrument.id, instrument]),
);

/** Whether an id or everyday name is an instrument's. */
export function isInstrument(id: string): boolean {
  return BY_ID.has(ALIASES[id] ?? id);
}

/**
 * The instrument of an id (`tenor-sax`) or everyday name (`guitar`, `drum-set`). Throws when there is
 * none: ids come from {@link INSTRUMENTS}; check what a person typed with {@link isInstrument}.
 */
export function instrumentById(id: string): Instrument {
  const found = BY_ID.get(ALIASES[id] ?? id);
  if (!found) throw new Error(`No instrument has the id '${id}'`);
  return found;
}

/** How to choose between two enharmonic keys. */
export type KeySpelling = 'fewest' | 'sharps' | 'flats';

/** Most accidentals a signature can have and still be printed. */
const FULL_SIGNATURE = 7;

/**
 * The keys an instrument's part can be written in for a concert key: first the usual one, with fewest
 * accidentals (at six of either, the one the transposition gives), then the other if it can be printed.
 * At concert pitch the key stays as it was given.
 *
 * @example writtenKeys(E major, alto) // [Db major (5 flats), C# major (7 sharps)]
 */
export function writtenKeys(concertKey: Key, instrument: Instrument): readonly Key[] {
  const moved = { ...concertKey, tonic: concertKey.tonic + instrument.toWritten.fifths };
  if (instrument.toWritten.fifths === 0) return [moved];
  const signature = signatureOf(moved);
  const other = { ...moved, tonic: moved.tonic + (signature > 0 ? -12 : 12) };
  const byCount = accidentals(other) < accidentals(moved) ? [other, moved] : [moved, other];
  return byCount.filter((key, index) => index === 0 || accidentals(key) <= FULL_SIGNATURE);
}

/** Number of sharps or flats in the signature of a key. */
function accidentals(key: Key): number {
  return Math.abs(signatureOf(key));
}

/**
 * The key of an instrument's part for a concert key.
 *
 * @param spelling `fewest` (default) or the habit the player asked for, where both can be printed
 * @example writtenKey(E major, alto) // Db major
 * @example writtenKey(E major, alto, 'sharps') // C# major
 */
export function writtenKey(
  concertKey: Key,
  instrument: Instrument,
  spelling: KeySpelling = 'fewest',
): Key {
  const keys = writtenKeys(concertKey, instrument);
  const usual = keys[0] as Key;
  if (spelling === 'fewest') return usual;
  const wanted = spelling === 'sharps' ? 1 : -1;
  return keys.find((key) => Math.sign(signatureOf(key)) === wanted) ?? usual;
}

/**
 * The interval from concert to written pitch when the part stands in `written`: the instrument's own
 * transposition, respelled where the written key was.
 *
 * @example writtenInterval(alto, E major, Db major) // {fifths: -9, semitones: 9}
 */
export function writtenInterval(
  instrument: Instrument,
  concertKey: Key,
  written: Key = writtenKey(concertKey, instrument),
): Interval {
  return interval(written.tonic - concertKey.tonic, instrument.toWritten.semitones);
}

/** Writes a concert pitch for an instrument. `by` is {@link writtenInterval}; left out, the plain transposition. */
export function toWritten(
  pitch: Pitch,
  instrument: Instrument,
  by: Interval = instrument.toWritten,
): Pitch {
  return transposePitch(pitch, by);
}

/** The concert pitch of a written one: the way back of {@link toWritten}, to the same spelling. */
export function toConcert(
  pitch: Pitch,
  instrument: Instrument,
  by: Interval = instrument.toWritten,
): Pitch {
  return transposePitch(pitch, invert(by));
}
