import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import table from '../../tests/reference/transposition.json';
import { keyOf } from '../../tests/support/chord.ts';
import {
  INSTRUMENTS,
  instrumentById,
  isInstrument,
  toConcert,
  toWritten,
  writtenInterval,
  writtenKey,
  writtenKeys,
} from './instruments.ts';
import { keyName, signatureOf } from './key.ts';
import { midiOf, type Pitch, parseSpelled, pitchAt, pitchName } from './spelled.ts';

// Sources of every row: tests/reference/transposition.json.

const CLEFS: Readonly<Record<string, string>> = {
  'treble and bass': 'grand',
  'treble with octave-down sign': 'treble-octave-down',
};

function pitch(name: string): Pitch {
  return { pc: parseSpelled(name.slice(0, -1)) ?? Number.NaN, octave: Number(name.slice(-1)) };
}

function rangeText(range: { low: Pitch; high: Pitch } | null): string | null {
  return range && `${pitchName(range.low)} ${pitchName(range.high)}`;
}

describe('the instruments of the table', () => {
  it('are all there, once, and no other', () => {
    expect(INSTRUMENTS.map((row) => row.id)).toEqual(table.rows.map((row) => row.id));
  });

  for (const row of table.rows) {
    it(`writes ${row.name} in its clef, transposition, range and sound`, () => {
      const made = instrumentById(row.id);
      const { diatonic, chromatic, octave_change } = row.transposition.written_to_sounding;
      expect(made.transposition).toEqual({ diatonic, chromatic, octaveChange: octave_change });
      expect(made.toWritten).toEqual({
        fifths: row.transposition.key_signature_shift_in_fifths,
        semitones: row.transposition.concert_to_written_semitones,
      });
      expect(made.clef).toBe(CLEFS[row.clef] ?? row.clef);
      const range = row.written_range;
      expect(rangeText(made.range)).toBe(range && `${range.low} ${range.high}`);
      const easy = row.comfortable_written_range_jazz;
      expect(rangeText(made.comfortable)).toBe(easy && `${easy.low} ${easy.high}`);
      expect(made.program).toBe(row.gm_program?.zero_based ?? null);
    });

    it(`sounds the written C5 of the ${row.name} where the table says`, () => {
      const sounding = toConcert(pitch('C5'), instrumentById(row.id));
      expect(pitchName(sounding)).toBe(row.transposition.written_c5_sounds);
      const low = row.written_range && row.sounding_range;
      if (!low) return;
      const concert = toConcert(pitch(row.written_range.low), instrumentById(row.id));
      expect(midiOf(concert)).toBe(midiOf(pitch(row.sounding_range.low)));
    });

    it(`writes the concert keys for ${row.name} as the table does`, () => {
      for (const [concert, written] of Object.entries(row.concert_keys_to_written_keys)) {
        const made = keyName(writtenKey(keyOf(concert), instrumentById(row.id)));
        // The table names concert E for an E flat instrument C sharp (seven sharps); five flats are printed.
        expect(made).toBe(written === 'C#' ? 'Db major' : `${written} major`);
      }
    });
  }

  it('answer to everyday names', () => {
    expect(instrumentById('guitar').id).toBe('electric-guitar');
    expect(instrumentById('drum-set').id).toBe('drums');
    expect(instrumentById('tenor-sax').name).toBe('Tenor saxophone');
    expect(isInstrument('trumpet')).toBe(true);
    expect(isInstrument('kazoo')).toBe(false);
    expect(() => instrumentById('kazoo')).toThrow('kazoo');
  });
});

describe('choosing the written key', () => {
  const alto = instrumentById('alto-sax');

  it('takes the fewest accidentals, and lets the player switch where both can be printed', () => {
    expect(writtenKeys(keyOf('E major'), alto).map(keyName)).toEqual(['Db major', 'C# major']);
    expect(keyName(writtenKey(keyOf('E major'), alto, 'sharps'))).toBe('C# major');
    expect(keyName(writtenKey(keyOf('B major'), alto))).toBe('Ab major');
    expect(keyName(writtenKey(keyOf('F# major'), alto))).toBe('Eb major');
    expect(keyName(writtenKey(keyOf('C# minor'), alto))).toBe('Bb minor');
    expect(keyName(writtenKey(keyOf('A major'), alto, 'flats'))).toBe('Gb major');
  });

  it('keeps the asked-for habit out where it cannot be printed', () => {
    expect(keyName(writtenKey(keyOf('C major'), alto, 'flats'))).toBe('A major');
  });

  it('leaves the key of a concert-pitch part as it was given', () => {
    expect(keyName(writtenKey(keyOf('C# major'), instrumentById('piano')))).toBe('C# major');
  });

  it('never needs more than six accidentals where the concert key has six at most', () => {
    for (const instrument of INSTRUMENTS) {
      for (let tonic = -6; tonic <= 6; tonic++) {
        const key = writtenKey({ tonic, mode: 'major' }, instrument);
        expect(Math.abs(signatureOf(key)), `${instrument.id} ${tonic}`).toBeLessThanOrEqual(6);
      }
    }
  });

  it('respells the interval with the key and comes back to the same pitch', () => {
    const by = writtenInterval(alto, keyOf('E major'));
    expect(by).toEqual({ fifths: -9, semitones: 9 });
    expect(pitchName(toWritten(pitch('G#4'), alto, by))).toBe('F5');
    const instruments = fc.constantFrom(...INSTRUMENTS);
    const notes = fc.integer({ min: -8, max: 12 });
    fc.assert(
      fc.property(instruments, notes, fc.integer({ min: -6, max: 6 }), (row, pc, tonic) => {
        const note = pitchAt(60 + ((pc * 7 + 144) % 12), pc);
        const there = writtenInterval(row, { tonic, mode: 'major' });
        expect(toConcert(toWritten(note, row, there), row, there)).toEqual(note);
        expect(toConcert(toWritten(note, row), row)).toEqual(note);
      }),
      { seed: 5 },
    );
  });
});
