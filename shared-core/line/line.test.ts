import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Chord } from '../chord/model.ts';
import { parseChord } from '../chord/parse.ts';
import { notesOf } from '../chord/tones.ts';
import { soundingCompass } from '../performance/soloist.ts';
import { inSignature } from '../pitch/copyist.ts';
import { instrumentById } from '../pitch/instruments.ts';
import {
  chromaOf,
  midiOf,
  modulo,
  nameOf,
  parseSpelled,
  pitchAt,
  type Spelled,
} from '../pitch/spelled.ts';
import { barTicks, type Meter, metricWeight, parseMeter } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';
import type { LineNote } from './guide.ts';
import { exampleLine } from './line.ts';
import type { LineBar, LineDegree, LineInput } from './model.ts';

const SYMBOLS = [
  'Dm7',
  'G7',
  'Cmaj7',
  'A7b9',
  'Fm6',
  'Bb7',
  'Ebm7',
  'F#m7b5',
  'B7alt',
  'C7sus4',
  'Gdim7',
  'Db6/9',
];
const C_MAJOR = { tonic: 0, mode: 'major' } as const;
const COMPASS = { low: 55, high: 79 };

function chordOf(text: string): Chord {
  const read = parseChord(text);
  if (!read.ok || read.value.kind !== 'chord') throw new Error(text);
  return read.value;
}

function stretch(
  symbols: readonly string[],
  meterText = '4/4',
): { bars: LineBar[]; harmony: TimedHarmony[] } {
  const meter = parseMeter(meterText) as Meter;
  const length = barTicks(meter);
  const bars = symbols.map((_, index) => ({ start: index * length, length, meter }));
  const harmony = symbols.map((text, index) => ({
    start: index * length,
    length,
    harmony: chordOf(text),
  }));
  return { bars, harmony };
}

function lineOver(
  symbols: readonly string[],
  more: Partial<LineInput> = {},
  meter = '4/4',
): LineNote[] {
  return exampleLine({
    ...stretch(symbols, meter),
    key: C_MAJOR,
    compass: COMPASS,
    degree: 'medium',
    seed: 1,
    ...more,
  });
}

function chordAt(harmony: readonly TimedHarmony[], at: number): Chord {
  const found = harmony.find((event) => at >= event.start && at < event.start + event.length);
  if (found?.harmony.kind !== 'chord') throw new Error(`no chord at ${at}`);
  return found.harmony;
}

const STRINGS = [40, 45, 50, 55, 59, 64];
const POSITIONS = Array.from({ length: 15 }, (_, index) => index + 1);

/** Whether a line can be fingered on six strings without the hand jumping. */
function fingered(line: readonly LineNote[]): boolean {
  let hands = POSITIONS;
  let end = 0;
  for (const { start, length, pitch } of line) {
    const rested = start > end;
    const within = (hand: number): boolean =>
      STRINGS.some((open) => {
        const fret = midiOf(pitch) - open;
        return fret === 0 || (fret >= hand && fret <= hand + 4);
      });
    const from = hands;
    hands = POSITIONS.filter(
      (hand) => within(hand) && (rested || from.some((before) => Math.abs(before - hand) <= 2)),
    );
    end = start + length;
  }
  return hands.length > 0;
}

const someLine = fc.record({
  symbols: fc.array(fc.constantFrom(...SYMBOLS), { minLength: 1, maxLength: 12 }),
  degree: fc.constantFrom<LineDegree>('plain', 'medium', 'busy'),
  seed: fc.nat(1000),
  meter: fc.constantFrom('3/4', '4/4', '5/4', '6/8', '12/8'),
});

describe('example lines', () => {
  it('put chord tones on the strong beats, stay in the compass and do not overlap', () => {
    fc.assert(
      fc.property(someLine, ({ symbols, degree, seed, meter }) => {
        const { bars, harmony } = stretch(symbols, meter);
        const line = lineOver(symbols, { degree, seed }, meter);
        let end = 0;
        for (const { start, length, pitch } of line) {
          expect(start).toBeGreaterThanOrEqual(end);
          end = start + length;
          expect(length > 0 && Number.isInteger(length)).toBe(true);
          expect(midiOf(pitch)).toBeGreaterThanOrEqual(COMPASS.low);
          expect(midiOf(pitch)).toBeLessThanOrEqual(COMPASS.high);
          const bar = bars.find((one) => start >= one.start && start < one.start + one.length);
          if (!bar || metricWeight(bar.meter, start - bar.start) < 3) continue;
          const tones = notesOf(chordAt(harmony, start)).map(chromaOf);
          expect(tones).toContain(modulo(midiOf(pitch), 12));
        }
        const last = bars.at(-1);
        expect(end).toBeLessThanOrEqual((last?.start ?? 0) + (last?.length ?? 0));
      }),
    );
  });

  it('spell chord tones as the chord does, and nothing with two accidentals that no chord owns', () => {
    fc.assert(
      fc.property(someLine, ({ symbols, degree, seed }) => {
        const { harmony } = stretch(symbols);
        for (const { start, pitch } of lineOver(symbols, { degree, seed })) {
          const chord = chordAt(harmony, start);
          const own = notesOf(chord).find((pc) => chromaOf(pc) === modulo(midiOf(pitch), 12));
          // An alt chord names root, third and seventh; its fifth and ninth are any altered ones.
          const named = !chord.quality.alt || [0, 4, -2].includes((own ?? 0) - chord.root);
          if (own !== undefined && named) expect(nameOf(pitch.pc)).toBe(nameOf(own));
        }
      }),
    );
  });

  /** How often each pitch class is played over the first chord of two, in forty tries. */
  const heardOver = (first: string, second: string, key: LineInput['key']): number[] => {
    const heard = new Array<number>(12).fill(0);
    for (let seed = 1; seed <= 40; seed++) {
      const input = {
        ...stretch([first, second]),
        key,
        compass: COMPASS,
        degree: 'busy',
        seed,
      } as const;
      for (const { start, pitch } of exampleLine(input)) {
        const chroma = midiOf(pitch) % 12;
        if (start < 3840) heard[chroma] = (heard[chroma] ?? 0) + 1;
      }
    }
    return heard;
  };

  it('take the scale of the minor into a minor chord, and the diminished into a major one', () => {
    // Source: tests/reference/chord-scales.json, rule secondary-dominant-tensions: F and D lie in the harmonic
    // minor of D, F# and D# in the half-whole scale on A. A chromatic note may be any, now and then.
    const minor = heardOver('A7b9', 'Dm7', C_MAJOR);
    const major = heardOver('A7b9', 'Dmaj7', { tonic: 2, mode: 'major' });
    const times = (of: number[], chroma: number): number => of[chroma] ?? 0;
    expect(times(minor, 5)).toBeGreaterThan(2 * times(minor, 6));
    expect(times(minor, 2)).toBeGreaterThan(2 * times(minor, 3));
    expect(times(major, 6)).toBeGreaterThan(2 * times(major, 5));
    expect(times(major, 3)).toBeGreaterThan(2 * times(major, 2));
  });

  it('read in flats over an alt chord of a key in flats', () => {
    for (const seed of [1, 2, 3, 4, 5, 6, 7, 8]) {
      const key = { tonic: -1, mode: 'minor' } as const;
      const input = {
        ...stretch(['Gm7b5', 'C7alt', 'Fm7']),
        key,
        compass: COMPASS,
        degree: 'busy',
        seed,
      } as const;
      const over = exampleLine(input).filter(({ start }) => start >= 3840 && start < 7680 - 480);
      expect(
        over.map(({ pitch }) => nameOf(pitch.pc)).filter((name) => /^[DG]#$/u.test(name)),
      ).toEqual([]);
    }
  });

  it('have no Cb, Fb, E#, B# or double accidental unless the chord or the key signature owns it', () => {
    const hard = /^(Cb|Fb|E#|B#|.(bb|##))$/;
    fc.assert(
      fc.property(someLine, fc.integer({ min: -6, max: 6 }), ({ symbols, degree, seed }, tonic) => {
        const { harmony } = stretch(symbols);
        const key = { tonic, mode: 'major' } as const;
        for (const { start, pitch } of lineOver(symbols, { degree, seed, key })) {
          if (!hard.test(nameOf(pitch.pc)) || inSignature(key, pitch.pc)) continue;
          expect(notesOf(chordAt(harmony, start)).map(nameOf)).toContain(nameOf(pitch.pc));
        }
      }),
    );
  });

  it('read F and not E# over D7b9 in F, where the scale would have it', () => {
    const names = [1, 2, 3, 4, 5, 6, 7, 8].flatMap((seed) =>
      lineOver(['D7b9', 'D7b9', 'Gm7'], {
        seed,
        degree: 'busy',
        key: { tonic: -1, mode: 'major' },
      }).map(({ pitch }) => nameOf(pitch.pc)),
    );
    expect(names).toContain('F');
    expect(names).not.toContain('E#');
  });

  it('lead every chromatic note by a semitone into a chord tone', () => {
    fc.assert(
      fc.property(fc.nat(500), (seed) => {
        const symbols = ['Dm7', 'G7', 'Cmaj7', 'Cmaj7'];
        const { harmony } = stretch(symbols);
        const line = lineOver(symbols, { seed, degree: 'busy' });
        const scale = new Set([0, 2, 4, 5, 7, 9, 11]);
        line.forEach(({ pitch }, index) => {
          if (scale.has(modulo(midiOf(pitch), 12))) return;
          const next = line[index + 1];
          if (!next) throw new Error('a line ended on a chromatic note');
          expect(Math.abs(midiOf(next.pitch) - midiOf(pitch))).toBe(1);
          expect(notesOf(chordAt(harmony, next.start)).map(chromaOf)).toContain(
            modulo(midiOf(next.pitch), 12),
          );
        });
      }),
    );
  });

  it('are the same for a seed and others for others', () => {
    const symbols = ['Dm7', 'G7', 'Cmaj7', 'Cmaj7'];
    expect(lineOver(symbols, { seed: 3 })).toEqual(lineOver(symbols, { seed: 3 }));
    const different = new Set(
      [1, 2, 3, 4, 5].map((seed) => JSON.stringify(lineOver(symbols, { seed }))),
    );
    expect(different.size).toBe(5);
  });

  it('never say a bar over again, even over one held chord', () => {
    const symbols = new Array<string>(16).fill('Cmaj7');
    for (const seed of [1, 2, 3, 4, 5, 6, 7, 8]) {
      const line = lineOver(symbols, { seed, degree: 'busy' });
      const bars = symbols.map((_, bar) =>
        line
          .filter(({ start }) => Math.floor(start / 3840) === bar)
          .map(({ start, pitch }) => `${start % 3840}:${midiOf(pitch)}`)
          .join(),
      );
      expect(new Set(bars).size).toBe(bars.length);
    }
  });

  it('tell the flat six of minor four and bring it home to the fifth by step, whatever the seed', () => {
    const pc = (name: string): Spelled => parseSpelled(name) as Spelled;
    const stories = [{ start: 3840, length: 3840, tells: pc('Ab'), home: pc('G') }];
    const anyDegree = fc.constantFrom<LineDegree>('plain', 'medium', 'busy');
    fc.assert(
      fc.property(anyDegree, fc.nat(2000), (degree, seed) => {
        const line = lineOver(['Cmaj7', 'Fm6', 'Cmaj7', 'Cmaj7'], { degree, seed, stories });
        const inside = line
          .filter(({ start }) => start >= 3840 && start < 7680)
          .map(({ pitch }) => nameOf(pitch.pc));
        expect(inside).toContain('Ab');
        const home = line.findIndex(({ start }) => start === 7680);
        const [before, arrival] = line.slice(home - 1, home + 1).map(({ pitch }) => pitch);
        if (!before || !arrival) throw new Error('the line does not come home');
        expect(nameOf(arrival.pc)).toBe('G');
        expect(Math.abs(midiOf(arrival) - midiOf(before))).toBeLessThanOrEqual(2);
      }),
    );
  });

  it('never rock to and fro between two notes', () => {
    const seldom = { trills: 0, notes: 0 };
    for (let seed = 0; seed < 40; seed++) {
      const symbols = ['Dm7', 'Ebm7', 'Dm7', 'G7', 'Cmaj7', 'Cmaj7', 'A7b9', 'A7b9'];
      const midi = lineOver(symbols, { seed, degree: 'busy' }).map(({ pitch }) => midiOf(pitch));
      midi.forEach((note, index) => {
        const back = note === midi[index - 2];
        expect(back && midi[index - 1] === midi[index - 3], `seed ${seed}`).toBe(false);
        seldom.notes += 1;
        if (back) seldom.trills += 1;
      });
    }
    expect(seldom.trills / seldom.notes).toBeLessThan(0.05);
  });

  it('enclose a chord tone from both sides now and then', () => {
    let found = 0;
    for (let seed = 0; seed < 30; seed++) {
      const line = lineOver(['Dm7', 'G7', 'Cmaj7', 'Cmaj7'], { seed, degree: 'busy' });
      const midi = line.map(({ pitch }) => midiOf(pitch));
      midi.forEach((note, index) => {
        const above = (midi[index - 2] ?? 0) - note;
        if (midi[index - 1] === note - 1 && (above === 1 || above === 2)) found += 1;
      });
    }
    expect(found).toBeGreaterThan(10);
  });

  it('begin phrases before, on and after the bar line', () => {
    const begun = new Set<number>();
    for (let seed = 0; seed < 12; seed++) {
      const line = lineOver(new Array<string>(12).fill('Dm7'), { seed });
      line.forEach(({ start }, index) => {
        const before = line[index - 1];
        if (before && before.start + before.length < start) begun.add(start % 3840);
      });
    }
    for (const place of [0, 480, 3360]) expect([...begun]).toContain(place);
  });

  it('lie under a guitarist’s hand: it moves a fret or two at most from one eighth to the next', () => {
    // A position holds five frets (tests/reference/guitar.json, `playability`); the hand may go anywhere in a rest.
    const compass = soundingCompass(instrumentById('guitar'));
    const jumping = [43, 79, 43, 79].map((midi, index) => ({
      start: index * 480,
      length: 480,
      pitch: pitchAt(midi, 1),
    }));
    expect(fingered(jumping)).toBe(false);
    fc.assert(
      fc.property(someLine, ({ symbols, degree, seed }) => {
        expect(fingered(lineOver(symbols, { degree, seed, compass }))).toBe(true);
      }),
      { numRuns: 60 },
    );
  });

  it('breathe: no line goes on for more than four bars and an eighth without a rest', () => {
    const symbols = new Array<string>(24).fill('Dm7');
    const line = lineOver(symbols, { degree: 'busy', seed: 5 });
    let since = 0;
    line.forEach(({ start, length }, index) => {
      const next = line[index + 1]?.start ?? Number.POSITIVE_INFINITY;
      if (next > start + length) since = next;
      expect(start + length - since).toBeLessThanOrEqual(4 * 3840 + 480);
    });
  });

  it('are silent under N.C. and refuse a compass no instrument has', () => {
    const { bars } = stretch(['Dm7', 'Dm7']);
    const harmony: TimedHarmony[] = [{ start: 0, length: 7680, harmony: { kind: 'none' } }];
    expect(
      exampleLine({ bars, harmony, key: C_MAJOR, compass: COMPASS, degree: 'busy', seed: 1 }),
    ).toEqual([]);
    expect(() => lineOver(['Dm7'], { compass: { low: 60, high: 65 } })).toThrow(RangeError);
  });
});
