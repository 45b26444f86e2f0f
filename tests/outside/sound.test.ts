import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Chord } from '../../shared-core/chord/model.ts';
import { parseChord } from '../../shared-core/chord/parse.ts';
import { guideTones, notesOf } from '../../shared-core/chord/tones.ts';
import { guideLine } from '../../shared-core/line/guide.ts';
import { chromaOf, midiOf, nameOf } from '../../shared-core/pitch/spelled.ts';
import { mudOver } from '../../shared-core/voicing/limits.ts';
import type { Voicing } from '../../shared-core/voicing/model.ts';
import { voicePath } from '../../shared-core/voicing/path.ts';
import { pianoVoicings } from '../../shared-core/voicing/piano.ts';

// Published voicings and rules; every row of the reference file names its source (title, section, address).
const published = JSON.parse(
  readFileSync(new URL('../reference/voicing.json', import.meta.url), 'utf8'),
);

function chordOf(text: string): Chord {
  const read = parseChord(text);
  if (!read.ok || read.value.kind !== 'chord') throw new Error(`${text} is no chord`);
  return read.value;
}

const sum = (moves: readonly number[]): number =>
  moves.reduce((total, move) => total + Math.abs(move), 0);

/** Semitones moved voice by voice, lowest with lowest. */
function moved(path: readonly (Voicing | null)[]): number {
  let total = 0;
  for (let at = 1; at < path.length; at++) {
    const from = path[at - 1]?.pitches.map(midiOf) ?? [];
    const to = path[at]?.pitches.map(midiOf) ?? [];
    if (from.length !== to.length) throw new Error('Voices come and go');
    total += sum(to.map((note, voice) => note - (from[voice] ?? 0)));
  }
  return total;
}

interface TwoFiveOne {
  key: string;
  progression_form: string;
  ii: { chord: string; notes: string[] };
  V: { chord: string; notes: string[] };
  I: { chord: string; notes: string[] };
  movement_semitones: { ii_to_V: number[]; V_to_I: number[] };
}

describe('our piano path through ii-V-I against the published voicings', () => {
  const rows = (published.ii_v_i_examples as TwoFiveOne[]).map(
    (row) => [`${row.key}, form ${row.progression_form}`, row] as const,
  );

  it('has all 14 rows to check', () => {
    expect(rows).toHaveLength(14);
  });

  it.each(rows)('moves no more semitones in %s than the published voicings do', (_, row) => {
    const path = voicePath(
      [row.ii, row.V, row.I].map(({ chord }) => chordOf(chord)),
      {
        instrument: 'piano',
        withBass: true,
      },
    );
    const theirs = sum(row.movement_semitones.ii_to_V) + sum(row.movement_semitones.V_to_I);
    expect(moved(path)).toBeLessThanOrEqual(theirs);
  });
});

interface GuideMove {
  from?: string;
  to?: string;
  move?: string;
  semitones: number;
}

describe('guide tones against the published movements', () => {
  interface MajorRow {
    key: string;
    ii: { chord: string; third: string; seventh: string };
    V: { chord: string; third: string; seventh: string };
    I: { chord: string; third: string; seventh: string };
    moves: GuideMove[];
  }
  const major = (published.guide_tones_major as MajorRow[]).map((row) => [row.key, row] as const);

  it.each(major)('are the thirds and sevenths of ii, V and I in %s', (_, row) => {
    for (const step of [row.ii, row.V, row.I]) {
      expect(guideTones(chordOf(step.chord)).map(nameOf)).toEqual([step.third, step.seventh]);
    }
  });

  const barsOf = (...symbols: string[]) =>
    symbols.map((symbol, bar) => ({
      start: bar * 3840,
      length: 3840,
      harmony: chordOf(symbol),
    }));

  it.each(major)('connect by the published steps in our line in %s', (_, row) => {
    const line = guideLine(barsOf(row.ii.chord, row.V.chord, row.I.chord), { low: 55, high: 79 });
    const names = line.map(({ pitch }) => nameOf(pitch.pc));
    expect([
      [row.ii.seventh, row.V.third, row.I.seventh],
      [row.ii.third, row.V.seventh, row.I.third],
    ]).toContainEqual(names);
    line.slice(1).forEach(({ pitch }, index) => {
      const step = midiOf(pitch) - midiOf(line[index]?.pitch ?? pitch);
      expect(row.moves.map(({ semitones }) => semitones)).toContain(step);
    });
  });

  interface MinorRow {
    key: string;
    chords: string[];
    moves: { move: string; notes: string; semitones: number }[];
  }
  const minor = (published.guide_tones_minor as MinorRow[]).flatMap((row) =>
    (row.chords.at(-1) ?? '')
      .split(' or ')
      .map((home) => [`${row.key} to ${home}`, row, home] as const),
  );

  it.each(minor)('connect by the published steps in our line in %s', (_, row, home) => {
    const [ii = '', V = ''] = row.chords;
    const line = guideLine(barsOf(ii, V, home), { low: 55, high: 79 });
    line.slice(1).forEach(({ pitch }, index) => {
      const before = line[index]?.pitch ?? pitch;
      const notes = `${nameOf(before.pc)} to ${nameOf(pitch.pc)}`;
      const listed = row.moves.find((move) => move.notes === notes);
      expect(listed?.semitones, notes).toBe(midiOf(pitch) - midiOf(before));
    });
  });
});

const KEYS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const TWO_FIVES: readonly (readonly [string, string, string])[] = (
  published.ii_v_i_examples as TwoFiveOne[]
).map(({ ii, V, I }) => [ii.chord, V.chord, I.chord]);

const voiced = (...symbols: string[]): number[][] =>
  voicePath(symbols.map(chordOf), { instrument: 'piano', withBass: true }).map(
    (voicing) => voicing?.pitches.map(midiOf) ?? [],
  );
const steps = (from: readonly number[] = [], to: readonly number[] = []): number[] =>
  to.map((note, voice) => note - (from[voice] ?? 0));

/** What holds our voicings to each published rule. */
const RULES: Readonly<Record<string, () => void>> = {
  'lil-root': () => {
    // E3 G3 Bb3 over an unheard C3 is clear; an octave lower it is muddier than over its own bottom note.
    expect(mudOver(0, [52, 55, 58])).toBe(0);
    expect(mudOver(0, [40, 43, 46])).toBeGreaterThan(mudOver(4, [40, 43, 46]));
  },
  'lil-not-absolute': () => {
    const low = voicePath([chordOf('Gmaj7')], {
      instrument: 'guitar',
      withBass: false,
      guitar: { tuning: [23, 28, 33, 38, 43], highestFret: 7, capo: 0 },
    });
    const midi = low[0]?.pitches.map(midiOf) ?? [];
    expect(midi.length).toBeGreaterThan(1);
    expect(mudOver(7, midi)).toBeGreaterThan(0);
  },
  'guide-tones': () => {
    for (const [ii, V, I] of TWO_FIVES) {
      const line = guideLine(
        [ii, V, I].map((symbol, bar) => ({ start: bar, length: 1, harmony: chordOf(symbol) })),
        { low: 55, high: 79 },
      );
      for (const move of steps(
        line.map(({ pitch }) => midiOf(pitch)),
        line.slice(1).map(({ pitch }) => midiOf(pitch)),
      ))
        expect([0, -1, -2]).toContain(move);
    }
  },
  'one-note-moves': () => {
    for (const [ii, V] of TWO_FIVES) {
      const [from, to] = voiced(ii, V);
      expect(steps(from, to).filter((step) => step !== 0)).toEqual([-1]);
    }
  },
  'V-I-down': () => {
    for (const [, V, I] of TWO_FIVES) {
      const [from, to] = voiced(V, I);
      for (const step of steps(from, to)) expect([0, -1, -2]).toContain(step);
    }
  },
  'range-rootless': () => {
    for (const [ii, V, I] of TWO_FIVES) {
      for (const midi of voiced(ii, V, I)) {
        expect(midi[0]).toBeGreaterThanOrEqual(51);
        expect(midi.at(-1)).toBeLessThanOrEqual(69);
      }
    }
  },
  mud: () => {
    for (const key of KEYS) {
      for (const suffix of ['maj7', '7', 'm7', 'm7b5', '7b9', '6', 'm6', 'dim7']) {
        const chord = chordOf(key + suffix);
        const [midi = []] = voiced(key + suffix);
        expect(mudOver(chromaOf(chord.root), midi), key + suffix).toBe(0);
        expect(
          mudOver(
            chromaOf(chord.root),
            midi.map((note) => note - 24),
          ),
        ).toBeGreaterThan(0);
      }
    }
  },
  'ninth-for-root': () => {
    const notes = pianoVoicings(chordOf('G7'), { withBass: true }).map((one) =>
      one.pitches
        .map(({ pc }) => nameOf(pc))
        .sort()
        .join(' '),
    );
    expect(notes).toContain('A B E F');
    expect(notes.filter((one) => one.includes('G'))).toEqual([]);
  },
  'v-altered-melody': () => {
    // A plain dominant never gets an altered tension from us: only a symbol that asks for one does.
    for (const key of KEYS) {
      const chord = chordOf(`${key}7`);
      const altered = [1, 3, 6, 8].map((up) => (chromaOf(chord.root) + up) % 12);
      for (const voicing of pianoVoicings(chord, { withBass: true }))
        for (const { pc } of voicing.pitches) expect(altered).not.toContain(chromaOf(pc));
    }
  },
  'dim-as-7b9': () => {
    const dim = notesOf(chordOf('Bdim7')).map(chromaOf).sort();
    const found = pianoVoicings(chordOf('G7b9'), { withBass: true }).map((one) =>
      one.pitches.map(({ pc }) => chromaOf(pc)).sort(),
    );
    expect(found).toContainEqual(dim);
  },
  'common-tones': () => {
    const [from, to] = voiced('Cmaj7', 'Am7');
    const shared = (from ?? []).filter((note) => to?.includes(note));
    expect(shared.length).toBeGreaterThanOrEqual(3);
  },
  'top-voice': () => {
    const tune = [
      'Cmaj7',
      'A7',
      'Dm7',
      'G7',
      'Em7',
      'A7',
      'Dm7',
      'Db7',
      'Cmaj7',
      'Fmaj7',
      'Bb7',
      'Cmaj7',
    ];
    const tops = voiced(...tune).map((midi) => midi.at(-1) ?? 0);
    tops.slice(1).forEach((top, at) => {
      expect(
        Math.abs(top - (tops[at] ?? top)),
        `${tune[at]} to ${tune[at + 1]}`,
      ).toBeLessThanOrEqual(4);
    });
    const byStep = tops.slice(1).filter((top, at) => Math.abs(top - (tops[at] ?? top)) <= 2);
    expect(byStep.length / (tops.length - 1)).toBeGreaterThanOrEqual(0.8);
  },
  omit: () => {
    for (const symbol of ['C13', 'F13', 'Bb9', 'Ebmaj9', 'Am9', 'D7#9']) {
      const chord = chordOf(symbol);
      const wanted = guideTones(chord);
      for (const voicing of pianoVoicings(chord, { withBass: true })) {
        const notes = voicing.pitches.map(({ pc }) => pc);
        expect(notes).toEqual(expect.arrayContaining(wanted));
        expect(notes).not.toContain(chord.root);
      }
    }
  },
};

/** Rules that nothing of ours could break, with the reason. */
const NOT_TESTED: Readonly<Record<string, string>> = {
  parallel: 'a permission: our search has no cost on parallel fifths and fourths to test',
};

describe('the published rules of voicing', () => {
  const rules = published.rules as { id: string; rule: string }[];

  it.each(rules.filter(({ id }) => id in RULES).map(({ id, rule }) => [id, rule]))(
    'hold in our voicings: %s, %s',
    (id) => RULES[id]?.(),
  );

  it('are each tested, or listed with the reason why not', () => {
    const covered = [...Object.keys(RULES), ...Object.keys(NOT_TESTED)].sort();
    expect(covered).toEqual(rules.map(({ id }) => id).sort());
  });
});
