import { describe, expect, it } from 'vitest';
import { arrangementOf, BAND, chairOf, type KnownTune, tuneOf } from '../../tests/support/parts.ts';
import { SAMPLE_BAND, sample, sampleNames } from '../../tests/support/samples.ts';
import type { Band, Chair } from '../arrangement/band.ts';
import type { ArrangementState } from '../arrangement/model.ts';
import { buildPart } from '../parts/build.ts';
import { unrollPart } from '../parts/unroll.ts';
import { chromaOf, midiOf } from '../pitch/spelled.ts';
import { performBass } from './bass-part.ts';
import { type PerformOptions, stageOf } from './stage.ts';

/** Start and sounding pitch of every note, from the first bar of the arrangement. */
type Notes = readonly (readonly [number, number])[];

function played(
  { tune, analysis }: KnownTune,
  state: ArrangementState,
  band: Band,
  bass: Chair,
  options: PerformOptions = { bassAsWritten: true, ends: false },
): Notes {
  const { chorus, key } = analysis;
  const notes = performBass(bass, stageOf({ tune, chorus, key, state, band, options }));
  return notes.map(({ start, midi }) => [start, midi]);
}

/** The written line, followed bar by bar through the printed part; a bass sounds an octave lower. */
function printed(known: KnownTune, state: ArrangementState, band: Band, chair: Chair): Notes {
  const part = buildPart({ ...known, state, band, chair, options: { walkingLine: true } });
  let start = 0;
  return unrollPart(part).flatMap(({ measure }) => {
    const from = start;
    start += measure.length;
    return measure.events.flatMap((event) =>
      event.kind === 'note' && !event.tied
        ? event.pitches.map((pitch) => [from + event.at, midiOf(pitch) - 12] as const)
        : [],
    );
  });
}

const beats = (notes: Notes, bars: number): number[] =>
  notes.filter(([start]) => start < bars * 3840).map(([start]) => start / 960);

describe('a bass line written out', () => {
  it.each(sampleNames())('is the one that is played: %s', (name) => {
    const one = sample(name);
    const bass = SAMPLE_BAND.chairs.find(({ role }) => role === 'bass');
    if (!bass) throw new Error('The sample band has no bass');
    const paper = printed(one, one.state, SAMPLE_BAND, bass);
    expect(paper.length).toBeGreaterThan(one.analysis.chorus.bars.length);
    expect(paper).toEqual(played(one, one.state, SAMPLE_BAND, bass));
  });

  it.each([
    ['bossa nova', [0, 1.5, 2, 3.5, 4, 5.5, 6, 7.5]],
    ['ballad', [0, 2, 4, 6]],
    ['medium swing', [0, 1, 2, 3, 4, 5, 6, 7]],
  ])('has the rhythm of a %s', (feel, places) => {
    const known = tuneOf(`title: T\nkey: C\nfeel: ${feel}\n\n[A]\n| Cmaj7 | % | Dm7 | G7 |\n`);
    const state = arrangementOf(known, ['Head', 'Open']);
    const paper = printed(known, state, BAND, chairOf('bass'));
    expect(beats(paper, 2)).toEqual(places);
    expect(paper).toEqual(played(known, state, BAND, chairOf('bass')));
  });

  it('follows what the leader directs, also inside a bar, on paper and in sound', () => {
    const known = tuneOf(
      'title: T\nkey: C\nfeel: bossa\n\n[A]\n| Cmaj7 | % | Dm7 | G7 | Cmaj7 | % | Dm7 | G7 |\n',
    );
    const words = ['walk', 'pedal', 'lay out', 'hits'] as const;
    const directions = words.map((word, index) => ({
      chair: 'bass',
      start: index * 2 * 3840 + 1920,
      length: 3840,
      words: word,
    }));
    const state = arrangementOf(known, ['Head', 'Open'], [], directions);
    const paper = printed(known, state, BAND, chairOf('bass'));
    expect(beats(paper, 2)).toEqual([0, 1.5, 2, 3, 4, 5, 6, 7.5]);
    expect(paper).toEqual(played(known, state, BAND, chairOf('bass')));
  });

  it('is the same in choruses with the same changes, and leads back to the top', () => {
    const known = tuneOf('title: T\nkey: C\nfeel: swing\n\n[A]\n| Cmaj7 | % | Dm7 | G7 |\n');
    const state = arrangementOf(known, ['Head', 'Open', 'Open']);
    const part = buildPart({
      ...known,
      state,
      band: BAND,
      chair: chairOf('bass'),
      options: { walkingLine: true },
    });
    expect(part.blocks.reduce((sum, { measures }) => sum + measures.length, 0)).toBe(4);
    const line = played(known, state, BAND, chairOf('bass'));
    const [last, top] = line.filter(([start]) => start >= 4 * 3840 - 960);
    expect(Math.abs((last?.[1] ?? 0) - (top?.[1] ?? 0))).toBeLessThanOrEqual(2);
  });

  it.each(sampleNames())(
    'is held on its root at the end of all, and the same before: %s',
    (name) => {
      const one = sample(name);
      const bass = SAMPLE_BAND.chairs.find(({ role }) => role === 'bass');
      if (!bass) throw new Error('The sample band has no bass');
      const line = played(one, one.state, SAMPLE_BAND, bass, { bassAsWritten: true });
      const [end = 0, root = 0] = line.at(-1) ?? [];
      const paper = printed(one, one.state, SAMPLE_BAND, bass);
      expect(line.slice(0, -1)).toEqual(paper.filter(([start]) => start < end));
      const last = one.analysis.chorus.harmony.at(-1)?.harmony;
      expect(last?.kind === 'chord' && chromaOf(last.bass ?? last.root)).toBe(root % 12);
    },
  );
});
