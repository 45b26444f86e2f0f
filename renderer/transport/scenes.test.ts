import { beforeAll, describe, expect, it } from 'vitest';
import type { Band } from '../../shared-core/arrangement/band.ts';
import { emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import type { Placement } from '../../shared-core/arrangement/model.ts';
import { perform } from '../../shared-core/performance/perform.ts';
import { type OpenTune, openTune } from '../engine/open-tune.ts';
import { harmonyOf } from '../engine/wire.ts';
import { chorusScene, type Performer, type Stage, spotScene } from './scenes.ts';

const BAR = 3840;
const BAND: Band = {
  id: 'band',
  name: 'Trio',
  chairs: [
    { id: 'guitar', name: 'Guitar', instrument: 'guitar', role: 'comping', order: 0 },
    { id: 'bass', name: 'Bass', instrument: 'double-bass', role: 'bass', order: 1 },
  ],
};

let stage: Stage;

beforeAll(() => {
  const opened = openTune(
    'title: Eight\nkey: C major\ntempo: 120\n| Cmaj7 | % | % | % | Dm7 | G7 | Cmaj7 | % |',
  );
  if (!opened.ok) throw new Error(opened.message);
  stage = {
    open: opened.value,
    state: emptyArrangement('Trio', 3),
    perform: performHere(opened.value),
    tempo: null,
  };
});

function performHere(open: OpenTune): Performer {
  return async (state, options) =>
    perform({
      tune: open.tune,
      chorus: open.analysis.chorus,
      key: open.analysis.key,
      state,
      band: BAND,
      options,
    });
}

const placement: Placement = {
  id: 'p1',
  chorus: 'c2',
  layer: 'band',
  start: 0,
  length: 2 * BAR,
  changes: [{ at: 0, length: 2 * BAR, harmony: harmonyOf('F#7') }],
  origin: { kind: 'hand' },
};

describe('hearing a place', () => {
  const spot = { chorus: 1, start: 0, length: 2 * BAR };

  it('takes a bar before it and a bar after it, into the chorus before', async () => {
    const { stretch, placeOf } = await spotScene(stage, spot, { kind: 'written' });
    expect(stretch).toEqual({ from: 7 * BAR, to: 11 * BAR, again: 7 * BAR });
    expect(placeOf(stretch.from)).toEqual({ chorus: 0, at: 7 * BAR });
    expect(placeOf(8 * BAR)).toEqual({ chorus: 1, at: 0 });
  });

  it('begins at the top where nothing is before', async () => {
    const { stretch } = await spotScene(stage, { ...spot, chorus: 0 }, { kind: 'written' });
    expect(stretch.from).toBe(0);
  });

  it('sounds different before and after, at the place alone', async () => {
    const before = await spotScene(stage, spot, { kind: 'written' });
    const after = await spotScene(stage, spot, { kind: 'placed', placement });
    const sounding = (scene: typeof before, from: number, to: number) =>
      scene.performance.tracks
        .filter((track) => track.chair === 'guitar')
        .flatMap((track) => track.notes)
        .filter((note) => note.start >= from && note.start < to)
        .map((note) => note.midi % 12);
    const fSharp = 6;
    expect(sounding(before, 8 * BAR, 10 * BAR)).not.toContain(fSharp);
    expect(sounding(after, 8 * BAR, 10 * BAR - 1000)).toContain(10);
    expect(sounding(after, 0, 6 * BAR)).toEqual(sounding(before, 0, 6 * BAR));
  });

  it('hears what was decided, and leaves it out to hear it as written', async () => {
    const decided = { ...stage, state: { ...stage.state, placements: { p1: placement } } };
    const asDecided = await spotScene(decided, spot, { kind: 'decided' });
    const asWritten = await spotScene(decided, spot, { kind: 'written' });
    const plain = await spotScene(stage, spot, { kind: 'written' });
    expect(asWritten.performance).toEqual(plain.performance);
    expect(asDecided.performance).not.toEqual(plain.performance);
  });
});

describe('hearing choruses', () => {
  it('counts in once and goes round without the count', async () => {
    const { stretch, performance, placeOf } = await chorusScene(stage, 1, 2, true);
    expect(performance.countIn).toBe(BAR);
    expect(stretch).toEqual({ from: 0, to: 17 * BAR, again: BAR });
    expect(placeOf(0)).toBeNull();
    expect(placeOf(BAR)).toEqual({ chorus: 1, at: 0 });
    expect(placeOf(9 * BAR)).toEqual({ chorus: 2, at: 0 });
  });

  it('is played at the tempo asked for', async () => {
    const slow = await chorusScene({ ...stage, tempo: 60 }, 0, 0, false);
    expect(slow.performance.quarterBpm).toBe(60);
    expect(slow.performance.countIn).toBe(0);
  });
});
