import { describe, expect, it } from 'vitest';
import { arrangementOf, BAND, tuneOf } from '../../tests/support/parts.ts';
import type { Chair } from '../arrangement/band.ts';
import { symbolOf } from '../chord/format.ts';
import { buildPart, type PartOptions } from '../parts/build.ts';
import type { Part } from '../parts/model.ts';
import { midiOf } from '../pitch/spelled.ts';
import { readTuning, type StringSetup, type Strung, usualSetup } from '../pitch/strings.ts';
import { perform } from './perform.ts';

// How a chair is strung, and what its voicings are wished to be, shows on paper and is heard alike.

const TUNE = tuneOf(
  [
    'title: Strung',
    'key: Bb major',
    'meter: 4/4',
    'tempo: 120',
    'form: A',
    '',
    '[A]',
    '| Bbmaj7 | Cm7 F7 | Dm7 G7 | Cm7 |',
    'melody: | whole D5 | half C5 half Eb5 | half F5 half D5 | whole Bb4 |',
  ].join('\n'),
);
const STATE = arrangementOf(TUNE, ['Head', 'Solo']);
const BAR = 3840;

function setup(tuning: string, strung: Strung, capo = 0): StringSetup {
  const read = readTuning(tuning, strung);
  if (!read.ok) throw new Error(tuning);
  return { tuning: read.value, capo, leftHanded: false };
}

function bandWith(chair: Chair) {
  return { ...BAND, chairs: BAND.chairs.map((one) => (one.id === chair.id ? chair : one)) };
}

function chairOf(id: string, to: Partial<Chair>): Chair {
  const found = BAND.chairs.find((one) => one.id === id);
  if (!found) throw new Error(id);
  return { ...found, ...to };
}

/** What a chair reads and what it sounds like: MIDI numbers by the tick they begin at, swing apart. */
function both(chair: Chair, options: PartOptions = { voicings: true, layout: 'written-out' }) {
  const band = bandWith(chair);
  const part = buildPart({ ...TUNE, state: STATE, chair, band, options });
  const played = perform({
    tune: { ...TUNE.tune, feel: 'straight' },
    chorus: TUNE.analysis.chorus,
    key: TUNE.analysis.key,
    state: STATE,
    band,
    options: { countInBars: 0, ends: false },
  });
  const notes = played.tracks.find((track) => track.chair === chair.id)?.notes ?? [];
  return { part, notes };
}

function shapesOf(part: Part) {
  return part.blocks
    .flatMap(({ measures }) => measures)
    .flatMap(({ voicings }) => voicings.map(({ voicing }) => voicing));
}

const soundingAt = (notes: readonly { start: number; midi: number }[], at: number) =>
  notes
    .filter(({ start }) => start === at)
    .map(({ midi }) => midi)
    .sort((a, b) => a - b);

describe('a guitar in another tuning', () => {
  it.each(['DADGAD', 'D A D G B E', 'B E A D G B E', 'C G C G C E'])(
    'is shown the shapes of %s, and sounds them',
    (tuning) => {
      const strings = setup(tuning, 'guitar');
      const { part, notes } = both(chairOf('guitar', { strings }));
      const open = strings.tuning.map(midiOf);
      const shapes = shapesOf(part);
      expect(shapes.length).toBeGreaterThan(6);
      for (const { frets = [], pitches } of shapes) {
        expect(frets).toHaveLength(open.length);
        const fretted = frets.flatMap((fret, string) =>
          fret === null ? [] : [(open[string] ?? 0) + fret],
        );
        expect(fretted).toEqual(pitches.map(midiOf));
      }
      expect(soundingAt(notes, 0)).toEqual(shapes[0]?.pitches.map(midiOf));
    },
  );

  it('says its tuning and its capo in the head, and nothing of them when they are as usual', () => {
    const head = (strings: StringSetup) =>
      both(chairOf('guitar', { strings })).part.head.transposition;
    expect(head(setup('DADGAD', 'guitar', 2))).toBe('DADGAD, capo 2');
    expect(head(setup('E A D G B E', 'guitar', 3))).toBe('capo 3');
    expect(head(setup('Eb Bb Eb G Bb Eb', 'guitar'))).toBe('E♭ B♭ E♭ G B♭ E♭');
    expect(head(usualSetup('guitar'))).toBe('sounds an octave lower');
  });
});

describe('a guitar with a capo', () => {
  it('has its shapes counted from the capo, which sound as much higher', () => {
    const strings = setup('E A D G B E', 'guitar', 3);
    const { part } = both(chairOf('guitar', { strings }));
    for (const { frets = [], pitches } of shapesOf(part)) {
      const sounding = frets.flatMap((fret, string) => {
        if (fret === null) return [];
        expect(fret).toBeGreaterThanOrEqual(0);
        return [midiOf(strings.tuning[string] ?? { pc: 0, octave: 0 }) + 3 + fret];
      });
      expect(sounding).toEqual(pitches.map(midiOf));
    }
  });
});

describe('a bass', () => {
  const lowest = (id: string, to: Partial<Chair>) => {
    const { part, notes } = both(chairOf(id, to), { walkingLine: true });
    const written = part.blocks
      .flatMap(({ measures }) => measures)
      .flatMap(({ events }) => events.flatMap((one) => (one.kind === 'note' ? one.pitches : [])));
    return {
      heard: Math.min(...notes.map(({ midi }) => midi)),
      // Written an octave above where it sounds.
      read: Math.min(...written.map(midiOf)) - 12,
    };
  };

  it('goes no lower than its lowest string, on paper and in sound', () => {
    const usual = lowest('bass', { strings: setup('E A D G', 'bass') });
    const high = lowest('bass', { strings: setup('F2 Bb2 Eb3 Ab3', 'bass') });
    expect(Math.max(usual.heard, usual.read)).toBeLessThan(41);
    expect(Math.min(high.heard, high.read)).toBeGreaterThanOrEqual(41);
  });

  it('of four strings plays what it plays when nothing is said of them', () => {
    expect(lowest('bass', { strings: usualSetup('bass') })).toEqual(lowest('bass', {}));
  });

  it('has its roots written down to its lowest string', () => {
    const part = (strings: StringSetup) => both(chairOf('bass', { strings }), {}).part;
    const roots = (of: Part) =>
      of.blocks[0]?.measures[1]?.events.flatMap((one) =>
        one.kind === 'note' ? one.pitches.map((pitch) => midiOf(pitch) - 12) : [],
      );
    expect(roots(part(usualSetup('bass')))).toEqual([36, 29]);
    expect(roots(part(setup('B E A D G', 'bass')))).toEqual([24, 29]);
  });
});

describe('a wish for a chair’s voicings', () => {
  const tops = (notes: readonly { start: number; midi: number }[], starts: readonly number[]) =>
    starts.map((at) => Math.max(...soundingAt(notes, at)));

  it.each(['guitar', 'piano'])('puts the melody on top where it is played: %s', (id) => {
    const wish = { voicing: { family: 'any', top: 'melody' } } as const;
    const { notes } = both(chairOf(id, wish));
    const wanted = TUNE.analysis.chorus.melody[0];
    expect(tops(notes, [0])[0]).toBe(wanted && midiOf(wanted.pitch));
  });

  it('stays under the melody in the head, and is free in the solos', () => {
    const { notes } = both(chairOf('guitar', { voicing: { family: 'any', top: 'under' } }));
    const free = both(chairOf('guitar', {})).notes;
    const melody = TUNE.analysis.chorus.melody;
    for (const { start, midi } of notes.filter((note) => note.start < 4 * BAR)) {
      const over = melody.find((note) => note.start <= start && start < note.start + note.length);
      expect(midi).toBeLessThan(over ? midiOf(over.pitch) : 128);
    }
    const solo = (all: typeof notes) =>
      new Set(all.filter(({ start }) => start === 4 * BAR).map(({ midi }) => midi));
    expect(solo(notes)).toEqual(solo(free));
  });

  it('keeps to its family wherever the chord has it', () => {
    const { part } = both(chairOf('guitar', { voicing: { family: 'drop-3', top: 'free' } }));
    const kinds = shapesOf(part).map(({ kind }) => kind);
    expect(kinds.length).toBeGreaterThan(6);
    expect(kinds.every((kind) => kind.endsWith('drop 3'))).toBe(true);
  });
});

// Source: shared/reference/cases, B21: concert E on an alto is D flat (5 flats), or C sharp (7) on request.
it('a transposing chair may read its key the other way, and never a mixture', () => {
  const tune = tuneOf(
    'title: Two Ways\nkey: E major\nmeter: 4/4\ntempo: 120\n\n[A]\n| E6 | F#m7 B7 | E6 |',
  );
  const state = arrangementOf(tune, ['Solo']);
  const symbols = (to: Partial<Chair>) => {
    const chair = chairOf('alto', to);
    const part = buildPart({ ...tune, state, chair, band: bandWith(chair) });
    return part.blocks
      .flatMap(({ measures }) => measures)
      .flatMap(({ band }) => band.map(({ harmony }) => symbolOf(harmony)));
  };
  expect(symbols({})).toEqual(['Db6', 'Ebm7', 'Ab7', 'Db6']);
  expect(symbols({ keys: 'flats' })).toEqual(['Db6', 'Ebm7', 'Ab7', 'Db6']);
  expect(symbols({ keys: 'sharps' })).toEqual(['C#6', 'D#m7', 'G#7', 'C#6']);
});
