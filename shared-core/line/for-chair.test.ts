import { describe, expect, it } from 'vitest';
import { arrangementOf, BAND, partOf, tuneOf } from '../../tests/support/parts.ts';
import { applyCommand } from '../arrangement/fold.ts';
import type { ArrangementState, KeptLine } from '../arrangement/model.ts';
import { realise } from '../arrangement/realise.ts';
import { symbolOf } from '../chord/format.ts';
import { unrollPart } from '../parts/unroll.ts';
import { perform } from '../performance/perform.ts';
import { soundingCompass } from '../performance/soloist.ts';
import { instrumentById } from '../pitch/instruments.ts';
import { chromaOf, midiOf, pitchName } from '../pitch/spelled.ts';
import { lineForChair } from './for-chair.ts';
import { exampleLine } from './line.ts';

const TUNE = tuneOf('title: Kept\nkey: Bb major\nmeter: 4/4\n[A]\n| Bbmaj7 | % | Cm7 | F7 |\n');
const FORM = TUNE.analysis.chorus;
const BAR = 3840;
/** Minor four over the second bar of the second chorus; its flat third tells and falls to the fifth. */
const STATE = arrangementOf(
  TUNE,
  ['Head', 'Solo', null],
  [{ chorus: 2, layer: 'soloist', bar: 2, changes: [[4, 'Ebm6']], tells: -6, home: -1 }],
);
const COMPASS = soundingCompass(instrumentById('tenor-sax'));

function wish(order: number) {
  return lineForChair({
    chorus: FORM,
    realisation: realise(FORM, STATE),
    key: TUNE.analysis.key,
    order,
    compass: COMPASS,
    degree: 'medium',
    seed: 4,
  });
}

function lineFor(order: number, chair = 'tenor'): KeptLine {
  const chorus = Object.values(STATE.choruses).find((plan) => plan.order === order)?.id ?? '';
  const notes = exampleLine(wish(order));
  return { id: 'l1', chorus, chair, start: 0, length: 4 * BAR, degree: 'medium', seed: 4, notes };
}

function keeping(line: KeptLine): ArrangementState {
  const kept = applyCommand(STATE, { kind: 'set-line', line });
  if (!kept.ok) throw new Error(kept.error.code);
  return kept.value.state;
}

function trackOf(state: ArrangementState, chair: string) {
  const { tune, analysis } = TUNE;
  const made = perform({ tune, chorus: FORM, key: analysis.key, state, band: BAND });
  const notes = made.tracks.find((track) => track.chair === chair)?.notes ?? [];
  return notes.map(({ start, midi }) => ({ start: start - made.countIn, midi }));
}

describe('a line for a chair', () => {
  it('is written over what the soloist plays in that chorus, in ticks of the chorus', () => {
    expect(wish(1).harmony.map(({ start, harmony }) => [start / BAR, symbolOf(harmony)])).toEqual([
      [0, 'Bbmaj7'],
      [1, 'Ebm6'],
      [2, 'Cm7'],
      [3, 'F7'],
    ]);
    expect(wish(1).stories).toEqual([{ start: BAR, length: BAR, tells: -6, home: -1 }]);
    expect(wish(0).stories).toEqual([]);
    expect(wish(0).harmony.map(({ harmony }) => symbolOf(harmony))).not.toContain('Ebm6');
  });

  it('says the note that tells, and stays in the compass', () => {
    const { notes } = lineFor(1);
    const there = notes.filter(({ start }) => start >= BAR && start < 2 * BAR);
    expect(there.map(({ pitch }) => chromaOf(pitch.pc))).toContain(6);
    for (const { pitch } of notes) {
      expect(midiOf(pitch)).toBeGreaterThanOrEqual(COMPASS.low);
      expect(midiOf(pitch)).toBeLessThanOrEqual(COMPASS.high);
    }
  });

  it('can be kept as it is made', () => {
    expect(Object.keys(keeping(lineFor(1)).lines)).toEqual(['l1']);
  });

  it('is asked for in a chorus that is there', () => {
    expect(() => wish(7)).toThrow(/no chorus 8/u);
  });
});

describe('a kept line', () => {
  it('is what its chair plays there, whoever’s turn it is, and nothing sounds against it', () => {
    const line = lineFor(1);
    const state = keeping(line);
    const played = trackOf(state, 'tenor').filter(
      ({ start }) => start >= 4 * BAR && start < 8 * BAR,
    );
    expect(played.map(({ midi }) => midi)).toEqual(line.notes.map(({ pitch }) => midiOf(pitch)));
    for (const other of ['alto', 'trumpet', 'trombone']) {
      const against = trackOf(state, other).filter(
        ({ start }) => start >= 4 * BAR && start < 8 * BAR,
      );
      expect(against).toEqual([]);
    }
    expect(trackOf(STATE, 'alto').some(({ start }) => start >= 4 * BAR && start < 8 * BAR)).toBe(
      true,
    );
    expect(trackOf(state, 'tenor').filter(({ start }) => start < 4 * BAR)).toEqual(
      trackOf(STATE, 'tenor').filter(({ start }) => start < 4 * BAR),
    );
  });

  it('stands on its chair’s staff in its transposition, and on no other', () => {
    const line: KeptLine = {
      ...lineFor(1),
      notes: [
        { start: 0, length: 960, pitch: { pc: -2, octave: 3 } },
        { start: 1920, length: 3840, pitch: { pc: -6, octave: 4 } },
      ],
    };
    const bars = (chair: string, chorus: number) =>
      unrollPart(partOf(TUNE, keeping(line), chair, { layout: 'written-out' }))
        .filter((played) => played.chorus === chorus)
        .slice(0, 2)
        .map(({ measure }) =>
          measure.events.map((event) =>
            event.kind === 'note'
              ? `${event.pitches.map(pitchName).join('+')} ${event.length}${event.tied ? ' tied' : ''}`
              : `${event.kind} ${event.length}`,
          ),
        );
    // Tenor saxophone reads a major ninth above: Bb3 is C5, Gb4 is Ab5.
    expect(bars('tenor', 2)).toEqual([
      ['C5 960', 'rest 960', 'Ab5 1920 tied'],
      ['Ab5 1920', 'rest 1920'],
    ]);
    expect(bars('trumpet', 2)).not.toEqual(bars('tenor', 2));
    expect(bars('tenor', 3).flat().join()).not.toContain('tied');
  });

  it('prints Gb for a B-flat tenor as Ab and not as G#, in folded charts too', () => {
    const part = partOf(TUNE, keeping(lineFor(1)), 'tenor');
    const names = unrollPart(part)
      .filter((played) => played.chorus === 2 && played.measure.number === 2)
      .flatMap(({ measure }) =>
        measure.events.flatMap((event) =>
          event.kind === 'note' ? event.pitches.map((pitch) => pitchName(pitch).slice(0, -1)) : [],
        ),
      );
    expect(names).toContain('Ab');
    expect(names).not.toContain('G#');
  });
});
