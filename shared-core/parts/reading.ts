import type { Chair } from '../arrangement/band.ts';
import type { Harmony } from '../chord/model.ts';
import { respellHarmony, transposeHarmony } from '../chord/transpose.ts';
import { respellSpelled } from '../pitch/copyist.ts';
import {
  type Clef,
  type Instrument,
  instrumentById,
  writtenInterval,
  writtenKey,
} from '../pitch/instruments.ts';
import { type Interval, transposePitch } from '../pitch/interval.ts';
import type { Key } from '../pitch/key.ts';
import { midiOf, type Pitch, pitchAt } from '../pitch/spelled.ts';
import { strungAs, tuningName, tuningText, usualSetup } from '../pitch/strings.ts';
import type { PartReading } from './model.ts';

/** How a chair reads a tune: its instrument, written key, and the way from concert to written. */
export interface ChairReading {
  readonly instrument: Instrument;
  readonly key: Key;
  readonly reading: PartReading;
  /** `in B♭`, `concert pitch`, `sounds an octave lower`; `DADGAD, capo 2` where a guitar is not as usual. */
  readonly transposition: string;
  /** Concert harmony to what is printed. */
  readonly harmony: (concert: Harmony) => Harmony;
  /** Concert pitch to written pitch. */
  readonly pitch: (concert: Pitch) => Pitch;
}

const CLEFS: Readonly<Record<Clef, PartReading['clef']>> = {
  treble: { sign: 'G', line: 2, octaveChange: 0 },
  grand: { sign: 'G', line: 2, octaveChange: 0 },
  bass: { sign: 'F', line: 4, octaveChange: 0 },
  'treble-octave-down': { sign: 'G', line: 2, octaveChange: -1 },
  percussion: { sign: 'percussion', line: 2, octaveChange: 0 },
};

/**
 * Works out how a chair reads: in its transposition, or at concert pitch when asked (octaves stay where
 * its clef needs them).
 */
export function readingOf(chair: Chair, concertKey: Key, concert: boolean): ChairReading {
  const instrument = instrumentById(chair.instrument);
  const moves = instrument.toWritten.fifths !== 0 && !concert;
  const key = moves ? writtenKey(concertKey, instrument, chair.keys) : concertKey;
  const toWritten: Interval = moves
    ? writtenInterval(instrument, concertKey, key)
    : { fifths: 0, semitones: 12 * Math.floor(instrument.toWritten.semitones / 12) };
  const said = stringWords(chair, instrument);
  const strung = said === null ? null : { words: said, capo: chair.strings?.capo ?? 0 };
  return {
    instrument,
    key,
    reading: {
      instrument: instrument.id,
      clef: CLEFS[instrument.clef],
      strung,
      staves: 1,
      toWritten,
      transpose: transposeOf(instrument, moves, toWritten),
    },
    transposition: strung?.words ?? wordsOf(instrument, moves),
    harmony: (held) => (moves ? respellHarmony(transposeHarmony(held, toWritten), key) : held),
    pitch: (sounding) => {
      const written = transposePitch(sounding, toWritten);
      return moves ? respelled(written, key) : written;
    },
  };
}

function respelled(pitch: Pitch, key: Key): Pitch {
  const pc = respellSpelled(pitch.pc, key);
  return pc === pitch.pc ? pitch : pitchAt(midiOf(pitch), pc);
}

/** MusicXML counts from written to sounding; an octave clef already says its octave. */
function transposeOf(
  instrument: Instrument,
  moves: boolean,
  toWritten: Interval,
): PartReading['transpose'] {
  if (instrument.clef === 'treble-octave-down' || instrument.clef === 'percussion') return null;
  if (moves) {
    const { diatonic, chromatic, octaveChange } = instrument.transposition;
    return { diatonic, chromatic, octaveChange };
  }
  const octaveChange = -toWritten.semitones / 12;
  return octaveChange === 0 ? null : { diatonic: 0, chromatic: 0, octaveChange };
}

/**
 * Tuning and capo where they are not as usual: what a player must see to before the first bar. It stands for
 * the octave, which every guitarist and bassist knows.
 */
function stringWords({ strings }: Chair, instrument: Instrument): string | null {
  const strung = strungAs(instrument);
  if (!strings || !strung) return null;
  const usual = tuningText(usualSetup(strung).tuning) === tuningText(strings.tuning);
  const words = [
    ...(usual ? [] : [withSigns(tuningName(strings.tuning, strung))]),
    ...(strings.capo > 0 ? [`capo ${strings.capo}`] : []),
  ];
  return words.length > 0 ? words.join(', ') : null;
}

/** `Eb` as `E♭`, `F#` as `F♯`. */
function withSigns(text: string): string {
  return text.replaceAll(/([A-G])b/gu, '$1♭').replaceAll('#', '♯');
}

/** Names of the usual transpositions by the concert note a written C sounds, in semitones below. */
const NAMES: Readonly<Record<number, string>> = { 2: 'in B♭', 9: 'in E♭', 7: 'in F', 5: 'in G' };

function wordsOf(instrument: Instrument, moves: boolean): string {
  const { chromatic, octaveChange } = instrument.transposition;
  if (instrument.clef === 'percussion') return 'drum set';
  if (moves) return NAMES[-chromatic] ?? `sounds ${-chromatic} semitones lower`;
  const octave = Math.floor(instrument.toWritten.semitones / 12);
  if (octave === 0 || octaveChange === 0) return 'concert pitch';
  return 'sounds an octave lower';
}
