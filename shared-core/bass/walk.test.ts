import { describe, expect, it } from 'vitest';
import { chord, NO_CHORD } from '../chord/build.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { parseChord } from '../chord/parse.ts';
import { notesOf } from '../chord/tones.ts';
import { chromaOf, midiOf, modulo, nameOf, parseSpelled } from '../pitch/spelled.ts';
import type { TimedHarmony } from '../tune/model.ts';
import {
  BASS_HIGH,
  BASS_LOW,
  type BassBar,
  type BassManner,
  type BassNote,
  bassSlots,
  compassOf,
  walkingLine,
} from './walk.ts';

const BEAT = 960;
const BAR = 4 * BEAT;

function harmonyOf(text: string): Harmony {
  const read = parseChord(text);
  if (!read.ok) throw new Error(`${text} is no chord`);
  return read.value;
}

/** Changes a bar each, or as many as stand in a bar, evenly. */
function changes(...bars: string[]): TimedHarmony[] {
  return bars.flatMap((text, bar) => {
    const symbols = text.split(' ');
    const length = BAR / symbols.length;
    return symbols.map((symbol, at) => ({
      start: bar * BAR + at * length,
      length,
      harmony: harmonyOf(symbol),
    }));
  });
}

function barsOf(count: number, manner: BassManner): BassBar[] {
  return Array.from({ length: count }, (_, bar) => ({
    start: bar * BAR,
    length: BAR,
    beat: BEAT,
    strong: [0, 2],
    manner,
  }));
}

function lineOver(bars: readonly string[], manner: BassManner = 'walk'): BassNote[] {
  return walkingLine(bassSlots(barsOf(bars.length, manner), changes(...bars)));
}

const names = (line: readonly BassNote[]): string[] => line.map(({ pitch }) => nameOf(pitch.pc));
const startingAt = (line: readonly BassNote[], at: number): BassNote | undefined =>
  line.find(({ start }) => start === at);

const BLUES = [
  'F7',
  'Bb7',
  'F7',
  'Cm7 F7',
  'Bb7',
  'Bdim7',
  'F7',
  'Am7b5 D7b9',
  'Gm7',
  'C7',
  'F7 D7',
  'Gm7 C7',
];
const FLAT_KEYS = ['Dbmaj7', 'Gbmaj7', 'Ebm7 Ab7', 'Cb7', 'Bbm7b5 Eb7b9', 'Abm7', 'Db7', 'Gb6'];

describe('a walking line', () => {
  it('puts a note on every beat and the root on every change', () => {
    const line = lineOver(BLUES);
    expect(line.map(({ start }) => start)).toEqual(
      Array.from({ length: 48 }, (_, beat) => beat * BEAT),
    );
    for (const { start, harmony } of changes(...BLUES)) {
      expect(startingAt(line, start)?.pitch.pc).toBe((harmony as Chord).root);
    }
  });

  it('plays the bass of a slash chord and not its root where the chord arrives', () => {
    const line = lineOver(['C', 'G/B', 'Am7', 'D7/F#', 'G7sus4', 'C/E', 'F', 'G/F']);
    const arrivals = line.filter(({ start }) => start % BAR === 0);
    expect(names(arrivals)).toEqual(['C', 'B', 'A', 'F#', 'G', 'E', 'F', 'F']);
  });

  it('leads into every change of root by a semitone, a tone or the fifth on the beat before', () => {
    const line = lineOver(BLUES);
    const leads: number[] = [];
    line.forEach((note, index) => {
      const next = line[index + 1];
      const change = changes(...BLUES).find(({ start }) => start === next?.start);
      const before = changes(...BLUES)
        .filter(({ start }) => start < (next?.start ?? 0))
        .at(-1);
      if (!next || !change || !before) return;
      if ((before.harmony as Chord).root === (change.harmony as Chord).root) return;
      leads.push(modulo(midiOf(note.pitch) - midiOf(next.pitch), 12));
    });
    expect(leads.length).toBeGreaterThan(10);
    expect(leads.filter((up) => ![1, 2, 7, 10, 11].includes(up))).toEqual([]);
    expect(leads.filter((up) => up === 1 || up === 11).length).toBeGreaterThan(leads.length / 2);
  });

  it('never leaps over an octave and stays in the comfortable compass, in any order of roots', () => {
    const roots = ['C', 'F#', 'Bb', 'E', 'Ab', 'D', 'Gb', 'A', 'Eb', 'B', 'F', 'Db', 'G'];
    const far = roots.flatMap((root, at) => [`${root}7`, `${roots[(at * 5 + 3) % 13]}m7`]);
    for (const bars of [far, BLUES, FLAT_KEYS]) {
      const line = lineOver(bars);
      line.slice(1).forEach((note, index) => {
        const before = line[index];
        expect(
          Math.abs(midiOf(note.pitch) - midiOf(before?.pitch ?? note.pitch)),
        ).toBeLessThanOrEqual(12);
      });
      const compass = compassOf(line);
      expect(compass?.low).toBeGreaterThanOrEqual(BASS_LOW);
      expect(compass?.high).toBeLessThanOrEqual(BASS_HIGH);
    }
  });

  it('does not stand on one note for a whole held chord', () => {
    const line = lineOver(['Dm7', 'Dm7', 'Dm7', 'Dm7', 'Dm7', 'Dm7', 'Dm7', 'Dm7']);
    const different = new Set(line.map(({ pitch }) => midiOf(pitch)));
    expect(different.size).toBeGreaterThan(4);
    line.slice(1).forEach(({ pitch }, index) => {
      expect(midiOf(pitch)).not.toBe(midiOf(line[index]?.pitch ?? pitch));
    });
  });

  it('has a chord tone on the bar lines of a held chord', () => {
    const tones = notesOf(chord(parseSpelled('D') ?? 0, 'm7')).map(chromaOf);
    for (const { start, pitch } of lineOver(['Dm7', 'Dm7', 'Dm7', 'Dm7'])) {
      if (start % BAR === 0) expect(tones).toContain(chromaOf(pitch.pc));
    }
  });

  it('spells notes of the chord as the chord does, and passing notes without doubles, Fb, Cb, E# or B#', () => {
    const bars = [...FLAT_KEYS, 'F#m7', 'B7', 'Emaj7', 'C#7', 'F#7', 'D#m7b5', 'G#7b9', 'C#m7'];
    const harmony = changes(...bars);
    for (const { start, pitch } of walkingLine(bassSlots(barsOf(bars.length, 'walk'), harmony))) {
      const here = harmony.filter((event) => event.start <= start).at(-1)?.harmony as Chord;
      const own = notesOf(here).find((pc) => chromaOf(pc) === chromaOf(pitch.pc));
      if (own === undefined) expect(nameOf(pitch.pc)).toMatch(/^(?!Fb|Cb|E#|B#)[A-G][b#]?$/);
      else expect(pitch.pc).toBe(own);
    }
  });

  it('goes somewhere on a held chord: no bar like the one before it', () => {
    const line = lineOver(Array.from({ length: 16 }, () => 'F7'));
    const bar = (index: number): string =>
      line
        .slice(index * 4, index * 4 + 4)
        .map(({ pitch }) => midiOf(pitch))
        .join();
    for (let index = 1; index < 16; index++) expect(bar(index)).not.toBe(bar(index - 1));
    expect(new Set(Array.from({ length: 16 }, (_, index) => bar(index))).size).toBeGreaterThan(5);
  });

  it('is the same line every time', () => {
    expect(lineOver(BLUES)).toEqual(lineOver(BLUES));
  });

  it('is empty over nothing', () => {
    expect(walkingLine([])).toEqual([]);
    expect(compassOf([])).toBeNull();
  });
});

describe('the manners of a bass player', () => {
  it('mark the two strong beats in a two-feel', () => {
    expect(lineOver(['C', 'F'], 'two-feel').map(({ start }) => start)).toEqual([
      0, 1920, 3840, 5760,
    ]);
  });

  it('hold the fifth or a tone that leads on under a two-feel, nothing from outside the chord', () => {
    // Root and fifth of a ballad, a bossa, a march: common practice, no source.
    expect(names(lineOver(['Ebmaj7', 'Fm7', 'Bb7', 'Ebmaj7'], 'two-feel'))).toEqual([
      ...['Eb', 'G', 'F', 'C', 'Bb', 'F', 'Eb', 'Bb'],
    ]);
    expect(names(lineOver(['Ebmaj7', 'Em7b5', 'A7'], 'two-feel')).slice(2, 4)).toEqual(['E', 'G']);
  });

  it('play only roots, where they are written, when asked for roots', () => {
    const line = lineOver(['Dm7 G7', 'Cmaj7', 'A7/C#'], 'roots');
    expect(names(line)).toEqual(['D', 'G', 'C', 'C#']);
    expect(line.map(({ length }) => length)).toEqual([1920, 1920, BAR, BAR]);
  });

  it('hold one note through a pedal while the chords above change', () => {
    const line = lineOver(['G7sus4', 'Fmaj7', 'Abmaj7', 'G7'], 'pedal');
    expect(new Set(line.map(({ pitch }) => midiOf(pitch))).size).toBe(1);
    expect(names(line)[0]).toBe('G');
  });

  it('are silent for N.C. and start again on the root after it', () => {
    const harmony: TimedHarmony[] = [
      { start: 0, length: BAR, harmony: harmonyOf('C7') },
      { start: BAR, length: BAR, harmony: NO_CHORD },
      { start: 2 * BAR, length: BAR, harmony: harmonyOf('C7') },
    ];
    const line = walkingLine(bassSlots(barsOf(3, 'walk'), harmony));
    expect(line.filter(({ start }) => start >= BAR && start < 2 * BAR)).toEqual([]);
    expect(nameOf(startingAt(line, 2 * BAR)?.pitch.pc ?? 99)).toBe('C');
  });

  it('give a change inside a beat a note of its own where it is written', () => {
    const harmony: TimedHarmony[] = [
      { start: 0, length: BAR - 480, harmony: harmonyOf('Dm7') },
      { start: BAR - 480, length: BAR + 480, harmony: harmonyOf('G7') },
    ];
    const line = walkingLine(bassSlots(barsOf(2, 'walk'), harmony));
    expect(nameOf(startingAt(line, BAR - 480)?.pitch.pc ?? 99)).toBe('G');
  });

  it('leave out bars that are not theirs without closing the gap', () => {
    const bars = barsOf(3, 'walk').filter((_, index) => index !== 1);
    const line = walkingLine(bassSlots(bars, changes('C7', 'C7', 'F7')));
    expect(line.map(({ start }) => start / BAR).filter((bar) => bar >= 1 && bar < 2)).toEqual([]);
    expect(line).toHaveLength(8);
  });
});
