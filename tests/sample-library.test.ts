import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Band } from '../shared-core/arrangement/band.ts';
import { notesOf } from '../shared-core/chord/tones.ts';
import { isInstrument } from '../shared-core/pitch/instruments.ts';
import { chromaOf, midiOf } from '../shared-core/pitch/spelled.ts';
import { beatsPerBar, meterName, metricWeight } from '../shared-core/time/meter.ts';
import type { Chorus, Tune } from '../shared-core/tune/model.ts';
import { readTune } from '../shared-core/tune/read.ts';
import { unroll } from '../shared-core/tune/unroll.ts';
import { writeTune } from '../shared-core/tune/write.ts';

const FOLDER = join(import.meta.dirname, '../sample-library');

const samples = readdirSync(FOLDER)
  .filter((name) => name.endsWith('.tune'))
  .map((name) => {
    const { tune, errors } = readTune(readFileSync(join(FOLDER, name), 'utf8'));
    const chorus = tune && unroll(tune);
    if (!tune || errors.length > 0 || !chorus?.ok) throw new Error(`${name} does not read`);
    return { name, tune, chorus: chorus.value };
  });

/** Longest stretch of one chord, in bars, around the form's end. */
function longestStretch(chorus: Chorus): number {
  const bars = chorus.harmony.filter(({ harmony }) => harmony.kind === 'chord');
  let longest = 0;
  let run = 0;
  const label = (i: number) => {
    const harmony = bars[i % bars.length]?.harmony;
    return harmony?.kind === 'chord' ? `${harmony.root}${harmony.quality.suffix}` : '';
  };
  for (let i = 0; i < bars.length * 2; i++) {
    const length = bars[i % bars.length]?.length ?? 0;
    run = label(i) === label(Math.max(i - 1, 0)) ? run + length : length;
    longest = Math.max(longest, Math.min(run, chorus.length));
  }
  return longest / (chorus.bars.at(-1)?.length ?? 1);
}

/** Whether a note on a strong beat is a chord tone or a ninth or thirteenth that sings. */
function strongNotes({ melody, bars, harmony }: Chorus) {
  return melody.flatMap((note) => {
    const bar = bars.findLast(({ start }) => start <= note.start);
    const over = harmony.findLast(({ start }) => start <= note.start)?.harmony;
    if (!bar || bar.number === 0 || over?.kind !== 'chord') return [];
    if (metricWeight(bar.meter, note.start - bar.start) < 3) return [];
    const tones = notesOf(over);
    return [tones.some((pc) => chromaOf(pc) === chromaOf(note.pitch.pc))];
  });
}

describe('the sample library', () => {
  it('holds at least fourteen tunes of their own names', () => {
    expect(samples.length).toBeGreaterThanOrEqual(14);
    expect(new Set(samples.map(({ tune }) => tune.title)).size).toBe(samples.length);
  });

  it.each(samples.map((sample) => [sample.name, sample] as const))(
    '%s says its key, tempo and feel, and comes back from its text',
    (_name, { tune }) => {
      expect(tune.key).not.toBeNull();
      expect(tune.tempo).not.toBeNull();
      expect(tune.feel).not.toBeNull();
      expect(readTune(writeTune(tune)).tune).toEqual(tune);
    },
  );

  it.each(samples.map((sample) => [sample.name, sample] as const))(
    '%s has a melody within reach whose strong notes belong to the chords',
    (_name, { chorus }) => {
      const strong = strongNotes(chorus);
      expect(strong.length).toBeGreaterThan(8);
      expect(strong.filter(Boolean).length / strong.length).toBeGreaterThan(0.8);
      const pitches = chorus.melody.map(({ pitch }) => midiOf(pitch));
      expect(Math.min(...pitches)).toBeGreaterThanOrEqual(60);
      expect(Math.max(...pitches)).toBeLessThanOrEqual(81);
    },
  );

  it('has long stretches on one chord in every tune of its own', () => {
    for (const { name, chorus } of samples) {
      expect(longestStretch(chorus), name).toBeGreaterThanOrEqual(1.9);
    }
    expect(samples.filter(({ chorus }) => longestStretch(chorus) >= 4).length).toBeGreaterThan(7);
  });

  it('covers meters, modes and forms', () => {
    const has = (test: (tune: Tune) => boolean) => samples.some(({ tune }) => test(tune));
    for (const meter of ['4/4', '3/4', '5/4', '6/8']) {
      expect(has((tune) => meterName(tune.meter) === meter && beatsPerBar(tune.meter) > 0)).toBe(
        true,
      );
    }
    for (const form of ['AABA', 'ABAC', 'AAB'])
      expect(has((tune) => tune.form?.join('') === form)).toBe(true);
    const blues = samples.filter(({ chorus }) => chorus.bars.length === 12);
    expect(blues.map(({ tune }) => tune.key?.mode).sort()).toEqual(['major', 'minor']);
    expect(has((tune) => tune.pickup > 0)).toBe(true);
    expect(
      has((tune) => tune.sections.some(({ bars }) => bars.some((bar) => bar.endings.length > 0))),
    ).toBe(true);
  });

  it('has a band of six chairs on known instruments', () => {
    const band = JSON.parse(readFileSync(join(FOLDER, 'band.json'), 'utf8')) as Band;
    expect(band.chairs.map(({ role }) => role).sort()).toEqual([
      'bass',
      'comping',
      'comping',
      'drums',
      'soloist',
      'soloist',
    ]);
    expect(band.chairs.every(({ instrument }) => isInstrument(instrument))).toBe(true);
    expect(band.chairs.map(({ order }) => order)).toEqual([0, 1, 2, 3, 4, 5]);
  });
});
