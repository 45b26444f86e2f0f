import { describe, expect, it } from 'vitest';
import { TEST_BAND } from '../../tests/support/band.ts';
import { arrangementOf, tuneOf } from '../../tests/support/parts.ts';
import type { Band } from '../arrangement/band.ts';
import type { ArrangementState, Layer } from '../arrangement/model.ts';
import { modulo } from '../pitch/spelled.ts';
import type { Performance, PerformedNote } from './model.ts';
import { perform } from './perform.ts';
import type { PerformOptions } from './stage.ts';

const BEAT = 960;
const BAR = 4 * BEAT;
const HEAD = 'title: T\nkey: C\nmeter: 4/4\ntempo: 120\nfeel: straight\n\n[A]\n';
const CHANGES = tuneOf(`${HEAD}| Dm7 | % | G7 | Cmaj7 |\n`);
const SONG = tuneOf(
  `${HEAD}| Dm7 | % | G7 | Cmaj7 |\nmelody: | whole F5 | whole D5 | whole B4 | whole C5 |`,
);

/** Ebm7 and Ab7 laid over the second bar of the first chorus. */
function over(layer: Layer, labels = ['Open']): ArrangementState {
  const changes = [
    [2, 'Ebm7'],
    [2, 'Ab7'],
  ] as const;
  return arrangementOf(CHANGES, labels, [{ chorus: 1, layer, bar: 2, changes }]);
}

function played(
  state: ArrangementState,
  known = CHANGES,
  band: Band = TEST_BAND,
  options: PerformOptions = {},
): Performance {
  return perform({
    tune: known.tune,
    chorus: known.analysis.chorus,
    key: known.analysis.key,
    state,
    band,
    options: { countInBars: 0, ...options },
  });
}

const chair = (performance: Performance, id: string): readonly PerformedNote[] =>
  performance.tracks.find((track) => track.chair === id)?.notes ?? [];
const within = (notes: readonly PerformedNote[], from: number, to: number): PerformedNote[] =>
  notes.filter(({ start }) => start >= from && start < to);
const tones = (notes: readonly PerformedNote[]): number[] =>
  [...new Set(notes.map(({ midi }) => modulo(midi, 12)))].sort((a, b) => a - b);
const bare = (labels = ['Open']): ArrangementState => arrangementOf(CHANGES, labels);

describe('changes laid over the band for a soloist alone', () => {
  it('are broken into their chords by the soloist, while everybody else plays what is written', () => {
    const after = played(over('soloist'));
    const before = played(bare());
    const solo = chair(after, 'tenor');
    expect(tones(within(solo, BAR, BAR + 2 * BEAT))).toEqual([1, 3, 6, 10]);
    expect(tones(within(solo, BAR + 2 * BEAT, 2 * BAR))).toEqual([0, 3, 6, 8]);
    for (const id of ['guitar', 'piano', 'bass', 'drums'])
      expect(chair(after, id), id).toEqual(chair(before, id));
  });

  it('come home to one note, by step from the note that tells', () => {
    // The minor four: its flat third falls a semitone to the fifth of home (design of the device).
    const known = tuneOf(`${HEAD.replace('key: C', 'key: Bb')}| Bbmaj7 | % | % | % |\n`);
    const changes = [
      [4, 'Ebm6'],
      [4, 'Bbmaj7'],
    ] as const;
    const state = arrangementOf(
      known,
      ['Open'],
      [{ chorus: 1, layer: 'soloist', bar: 2, changes, tells: -6, home: -1 }],
    );
    const solo = chair(played(state, known, TEST_BAND, { ends: false }), 'tenor');
    const home = within(solo, 2 * BAR, 3 * BAR);
    expect(home.map(({ midi }) => modulo(midi, 12))).toEqual([5]);
    expect(modulo(within(solo, BAR, 2 * BAR)[0]?.midi ?? 0, 12)).toBe(6);
    const last = within(solo, BAR, 2 * BAR).at(-1);
    expect(Math.abs((home[0]?.midi ?? 0) - (last?.midi ?? 0))).toBeLessThanOrEqual(4);
    const ends = (last?.start ?? 0) + (last?.length ?? 0);
    expect(ends).toBeLessThan(2 * BAR);
  });

  it('leave the guide tones around them one to a chord', () => {
    const solo = chair(played(over('soloist')), 'tenor');
    expect(within(solo, 0, BAR)).toHaveLength(1);
    expect(within(solo, 2 * BAR, 4 * BAR)).toHaveLength(2);
  });

  it('are not broken up where the band plays them too', () => {
    const solo = chair(played(over('band')), 'tenor');
    expect(within(solo, BAR, 2 * BAR)).toHaveLength(2);
  });

  it('stay inside what the instrument plays comfortably, and one note at a time', () => {
    for (const instrument of ['tenor-sax', 'trombone', 'flute', 'trumpet-bb']) {
      const [first, ...rest] = TEST_BAND.chairs.filter(({ role }) => role === 'soloist');
      const band = { ...TEST_BAND, chairs: first ? [{ ...first, instrument }] : rest };
      const solo = within(chair(played(over('soloist'), CHANGES, band), 'tenor'), BAR, 2 * BAR);
      expect(solo.length).toBe(8);
      solo.slice(1).forEach((note, index) => {
        const before = solo[index];
        expect((before?.start ?? 0) + (before?.length ?? 0)).toBeLessThanOrEqual(note.start);
        expect(Math.abs(note.midi - (before?.midi ?? 0))).toBeLessThan(12);
      });
    }
  });

  it('sound in a head under the melody, from another soloist', () => {
    const after = played(over('soloist', ['Head']), SONG);
    expect(chair(after, 'tenor')).toEqual(chair(played(bare(['Head']), SONG), 'tenor'));
    expect(tones(within(chair(after, 'trumpet'), BAR, BAR + 2 * BEAT))).toEqual([1, 3, 6, 10]);
    expect(chair(after, 'trumpet')).toHaveLength(8);
  });

  it('sound in a head in place of the melody where there is one soloist only', () => {
    const alone = { ...TEST_BAND, chairs: TEST_BAND.chairs.filter(({ id }) => id !== 'trumpet') };
    const solo = chair(played(over('soloist', ['Head']), SONG, alone), 'tenor');
    expect(tones(within(solo, BAR, BAR + 2 * BEAT))).toEqual([1, 3, 6, 10]);
    expect(within(solo, 0, BAR)).toHaveLength(1);
    expect(tones(within(solo, 2 * BAR, 4 * BAR))).toEqual([0, 11]);
  });

  it('get somebody to play them in a band without a soloist, and nobody else does', () => {
    const chairs = TEST_BAND.chairs.filter(({ role }) => role !== 'soloist');
    const trio = { ...TEST_BAND, chairs };
    const after = played(over('soloist'), CHANGES, trio);
    expect(tones(within(chair(after, 'soloist'), BAR, BAR + 2 * BEAT))).toEqual([1, 3, 6, 10]);
    expect(played(bare(), CHANGES, trio).tracks.map((track) => track.chair)).not.toContain(
      'soloist',
    );
    const without = played(over('soloist'), CHANGES, trio, { without: 'soloist' });
    expect(chair(without, 'soloist')).toEqual([]);
  });
});
