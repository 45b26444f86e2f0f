import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Chord } from '../chord/model.ts';
import { parseChord } from '../chord/parse.ts';
import { notesOf } from '../chord/tones.ts';
import { chromaOf, midiOf, modulo, nameOf, parseSpelled, type Spelled } from '../pitch/spelled.ts';
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
          const own = notesOf(chordAt(harmony, start)).find(
            (pc) => chromaOf(pc) === modulo(midiOf(pitch), 12),
          );
          if (own !== undefined) expect(nameOf(pitch.pc)).toBe(nameOf(own));
        }
      }),
    );
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
    for (const seed of [1, 2, 3]) {
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

  it('tell the flat six of minor four and bring it home to the fifth, by step', () => {
    const pc = (name: string): Spelled => parseSpelled(name) as Spelled;
    const stories = [{ start: 3840, length: 3840, tells: pc('Ab'), home: pc('G') }];
    for (const degree of ['plain', 'medium', 'busy'] as const) {
      const line = lineOver(['Cmaj7', 'Fm6', 'Cmaj7', 'Cmaj7'], { degree, stories });
      const inside = line
        .filter(({ start }) => start >= 3840 && start < 7680)
        .map(({ pitch }) => nameOf(pitch.pc));
      expect(inside).toContain('Ab');
      const home = line.findIndex(({ start }) => start === 7680);
      expect(nameOf(line[home]?.pitch.pc ?? 0)).toBe('G');
    }
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
