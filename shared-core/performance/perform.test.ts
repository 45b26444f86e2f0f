import { describe, expect, it } from 'vitest';
import { TEST_BAND } from '../../tests/support/band.ts';
import { emptyArrangement } from '../arrangement/fold.ts';
import type { ArrangementState, Direction, Placement } from '../arrangement/model.ts';
import { parseChord } from '../chord/parse.ts';
import { chromaOf, modulo } from '../pitch/spelled.ts';
import { barTicks, beatTicks } from '../time/meter.ts';
import { feelOf } from '../tune/feel.ts';
import type { Chorus, Tune } from '../tune/model.ts';
import { readTune } from '../tune/read.ts';
import { unroll } from '../tune/unroll.ts';
import type { Performance, PerformedNote } from './model.ts';
import { drumStrokes, KIT, partsOfBeat } from './patterns.ts';
import { perform } from './perform.ts';
import type { PerformOptions } from './stage.ts';

const BEAT = 960;
const BAR = 4 * BEAT;

function tuneOf(head: string, body: string): { tune: Tune; chorus: Chorus } {
  const { tune, errors } = readTune(`title: T\nkey: C\n${head}\n\n[A]\n${body}\n`);
  if (!tune || errors.length > 0) throw new Error(JSON.stringify(errors));
  const chorus = unroll(tune);
  if (!chorus.ok) throw new Error(chorus.error.code);
  return { tune, chorus: chorus.value };
}

interface Wish {
  readonly head?: string;
  readonly choruses?: number;
  readonly options?: PerformOptions;
  readonly state?: (state: ArrangementState) => ArrangementState;
}

/** Straight eighths, so that every place is the one written, with no count-in. */
function played(body: string, wish: Wish = {}): Performance {
  const { tune, chorus } = tuneOf(wish.head ?? 'meter: 4/4\ntempo: 120\nfeel: straight', body);
  const state = emptyArrangement('T', wish.choruses ?? 1);
  return perform({
    tune,
    chorus,
    key: { tonic: 0, mode: 'major' },
    state: wish.state?.(state) ?? state,
    band: TEST_BAND,
    options: { countInBars: 0, ...wish.options },
  });
}

const chair = (performance: Performance, id: string): readonly PerformedNote[] =>
  performance.tracks.find((track) => track.chair === id)?.notes ?? [];

/** Starts of a chair's chords, each once. */
const strikes = (performance: Performance, id: string): number[] => [
  ...new Set(chair(performance, id).map(({ start }) => start)),
];

const within = (notes: readonly PerformedNote[], from: number, to: number): PerformedNote[] =>
  notes.filter(({ start }) => start >= from && start < to);

function directed(words: Direction['words'], id: string, start: number, length: number) {
  return (state: ArrangementState): ArrangementState => {
    const chorus = Object.keys(state.choruses)[0] ?? '';
    const direction = { id: 'd', chorus, chair: id, start, length, words };
    return { ...state, directions: { d: direction } };
  };
}

function intense(...levels: number[]) {
  return (state: ArrangementState): ArrangementState => ({
    ...state,
    choruses: Object.fromEntries(
      Object.entries(state.choruses).map(([id, plan]) => [
        id,
        { ...plan, intensity: levels[plan.order] ?? 0 },
      ]),
    ),
  });
}

const METERS: readonly (readonly [string, string])[] = [
  ['4/4', 'swing'],
  ['4/4', 'shuffle'],
  ['4/4', 'ballad'],
  ['4/4', 'bossa'],
  ['4/4', 'straight'],
  ['3/4', 'waltz'],
  ['3/4', 'bossa'],
  ['5/4', 'swing'],
  ['5/4', 'straight'],
  ['7/4', 'swing'],
  ['6/4', 'straight'],
  ['2/4', 'samba'],
  ['6/8', 'straight'],
  ['9/8', 'straight'],
  ['12/8', 'slow blues'],
];
const headOf = ([meter, feel]: readonly [string, string]): string =>
  `meter: ${meter}\ntempo: 120\nfeel: ${feel}`;
const CHANGES = '| Cmaj7 | A7 | Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 |';

describe('comping', () => {
  it.each(METERS)('in %s %s never strikes a chord of another moment', (...feel) => {
    const { chorus } = tuneOf(headOf(feel), CHANGES);
    const one = played(CHANGES, { head: headOf(feel) });
    for (const id of ['guitar', 'piano']) {
      for (const { start, length, midi } of chair(one, id)) {
        const here = chorus.harmony.filter((event) => event.start <= start).at(-1);
        if (here?.harmony.kind !== 'chord') throw new Error('a chord stands everywhere');
        const { root, quality } = here.harmony;
        const allowed = [2, 9, ...quality.semitones].map((up) => modulo(chromaOf(root) + up, 12));
        expect(allowed).toContain(modulo(midi, 12));
        expect(start + length).toBeLessThanOrEqual(here.start + here.length);
      }
    }
  });

  it.each(METERS)('in %s %s lets every change be heard', (...feel) => {
    const { chorus } = tuneOf(headOf(feel), CHANGES);
    const one = played(CHANGES, { head: headOf(feel) });
    for (const id of ['guitar', 'piano'])
      for (const { start, length } of chorus.harmony)
        expect(within(chair(one, id), start, start + length).length).toBeGreaterThan(1);
  });

  it('strikes a chord that comes in early where it is written and holds it over the bar line', () => {
    const one = played('| Dm7 G7@4+1/2 | G7 | Cmaj7 | % |');
    for (const id of ['guitar', 'piano']) {
      const push = chair(one, id).find(({ start }) => start === BAR - 480);
      expect(push?.start, id).toBe(BAR - 480);
      expect((push?.start ?? 0) + (push?.length ?? 0), id).toBeGreaterThan(BAR);
      expect(within(chair(one, id), BAR - 479, BAR + 1), id).toEqual([]);
    }
  });

  it('strikes a chord that arrives on the last beat there and holds it over the bar line', () => {
    const one = played('| Dm7 Dm7 Dm7 G7 | G7 | Cmaj7 | % |');
    const push = chair(one, 'guitar').find(({ start }) => start === 3 * BEAT);
    expect((push?.start ?? 0) + (push?.length ?? 0)).toBeGreaterThan(BAR);
  });

  it('never plays the same rhythm in two bars running where the feel has more than one', () => {
    const one = played(CHANGES, { choruses: 3, state: intense(0, 3, 5) });
    const rhythm = (bar: number): string =>
      strikes(one, 'guitar')
        .filter((at) => at >= bar * BAR && at < (bar + 1) * BAR)
        .map((at) => at - bar * BAR)
        .join();
    for (let bar = 1; bar < 23; bar++) expect(rhythm(bar)).not.toBe(rhythm(bar - 1));
  });

  it('moves a chord that is held for long to the voicing next to it and back', () => {
    const one = played(`| ${Array.from({ length: 8 }, () => 'Dm7').join(' | ')} | G7 |`);
    const voicing = (bar: number): string => {
      const [first, ...rest] = within(chair(one, 'guitar'), bar * BAR, (bar + 1) * BAR);
      return [first, ...rest.filter(({ start }) => start === first?.start)]
        .map((note) => note?.midi)
        .join();
    };
    expect(voicing(1)).toBe(voicing(0));
    expect(voicing(2)).not.toBe(voicing(0));
    expect(voicing(3)).toBe(voicing(2));
    expect(voicing(4)).toBe(voicing(0));
  });

  it('keeps the second chair to the changes, softer than the first', () => {
    const one = played(CHANGES);
    expect(strikes(one, 'piano')).toEqual(Array.from({ length: 8 }, (_, bar) => bar * BAR));
    const loudest = (id: string): number =>
      Math.max(...chair(one, id).map(({ velocity }) => velocity));
    expect(loudest('piano')).toBeLessThan(loudest('guitar'));
  });

  it('is silent where it is told to lay out, and only there', () => {
    const one = played(CHANGES, { state: directed('lay out', 'guitar', 2 * BAR, 2 * BAR) });
    expect(within(chair(one, 'guitar'), 2 * BAR, 4 * BAR)).toEqual([]);
    expect(within(chair(one, 'guitar'), 0, 2 * BAR).length).toBeGreaterThan(0);
    expect(within(chair(one, 'guitar'), 4 * BAR, 5 * BAR).length).toBeGreaterThan(0);
    expect(within(chair(one, 'piano'), 2 * BAR, 4 * BAR).length).toBeGreaterThan(0);
  });

  it('strikes the changes and nothing else where it is told to play hits', () => {
    const one = played('| Cmaj7 | % | Dm7 G7 | G7 | Cmaj7 | % |', {
      state: directed('hits', 'guitar', 0, 4 * BAR),
    });
    expect(strikes(one, 'guitar').filter((at) => at < 4 * BAR)).toEqual([
      0,
      2 * BAR,
      2 * BAR + 2 * BEAT,
    ]);
  });
});

describe('a chord that the band brings in early', () => {
  // The G7 of bar 2 comes an eighth before its bar line, as an early arrival writes it.
  const early = (state: ArrangementState): ArrangementState => {
    const chorus = Object.keys(state.choruses)[0] ?? '';
    const chord = (text: string) => {
      const read = parseChord(text);
      if (!read.ok) throw new Error(text);
      return read.value;
    };
    const changes = [
      { at: 0, length: 3.5 * BEAT, harmony: chord('Dm7') },
      { at: 3.5 * BEAT, length: 4.5 * BEAT, harmony: chord('G7') },
    ];
    const place = { id: 'p', chorus, start: 0, length: 2 * BAR };
    const placement: Placement = { ...place, layer: 'band', changes, origin: { kind: 'hand' } };
    return { ...state, placements: { p: placement } };
  };

  it.each([
    ['straight', 3.5 * BEAT],
    ['shuffle', 3 * BEAT + 640],
  ])('is struck by everybody at once in a %s feel', (feel, at) => {
    const head = `meter: 4/4\ntempo: 120\nfeel: ${feel}`;
    const one = played('| Dm7 | G7 | Cmaj7 | % |', { head, state: early });
    for (const id of ['guitar', 'piano', 'bass']) expect(strikes(one, id), id).toContain(at);
    const bass = chair(one, 'bass').find(({ start }) => start === at);
    expect(modulo(bass?.midi ?? 0, 12)).toBe(7);
    const kicks = chair(one, 'drums').filter(
      ({ midi, start }) => midi === KIT.kick && start === at,
    );
    expect(kicks).toHaveLength(1);
  });

  it('is no business of a drummer who lays out', () => {
    const state = (empty: ArrangementState): ArrangementState =>
      directed('lay out', 'drums', 0, 2 * BAR)(early(empty));
    expect(within(chair(played(CHANGES, { state }), 'drums'), 0, 2 * BAR)).toEqual([]);
  });
});

describe('the last chord', () => {
  const held = (performance: Performance, id: string): PerformedNote[] =>
    chair(performance, id).filter(({ start, length }) => start + length >= performance.length);

  it('is struck on the last bar line and held to the end by everybody', () => {
    const one = played('| Dm7 | G7 | C6 | % |', { choruses: 2 });
    for (const id of ['guitar', 'piano', 'drums']) {
      const last = within(chair(one, id), 7 * BAR, 8 * BAR);
      expect(new Set(last.map(({ start }) => start)), id).toEqual(new Set([7 * BAR]));
      expect(held(one, id), id).toHaveLength(last.length);
    }
    const [bass, ...more] = within(chair(one, 'bass'), 7 * BAR, 8 * BAR);
    expect(modulo(bass?.midi ?? -1, 12)).toBe(0);
    expect(more).toEqual([]);
  });

  it('is struck where it begins inside the last bar', () => {
    const one = played('| Dm7 | G7 C6 |');
    expect(strikes(one, 'guitar').at(-1)).toBe(BAR + 2 * BEAT);
    expect(held(one, 'guitar').length).toBeGreaterThan(1);
  });

  it('goes round in a loop of one chorus instead', () => {
    const loop = played(CHANGES, { choruses: 3, options: { choruses: { from: 1, to: 1 } } });
    expect(within(chair(loop, 'drums'), 7 * BAR + BEAT, 8 * BAR).length).toBeGreaterThan(2);
    expect(within(chair(loop, 'bass'), 7 * BAR, 8 * BAR).length).toBe(2);
  });

  it('is held at the end of one chorus that is asked for once through', () => {
    const options = { choruses: { from: 1, to: 1 }, ends: true };
    const once = played('| Dm7 | G7 | C6 | Fmaj7 |', { choruses: 3, options });
    expect(once.length).toBe(4 * BAR);
    for (const id of ['guitar', 'piano', 'bass', 'drums']) {
      const last = within(chair(once, id), 3 * BAR, 4 * BAR);
      expect(new Set(last.map(({ start }) => start)), id).toEqual(new Set([3 * BAR]));
      if (id !== 'bass') expect(held(once, id).length, id).toBeGreaterThan(0);
    }
    const whole = chair(played('| Dm7 | G7 | C6 | Fmaj7 |', { choruses: 3, options }), 'bass');
    expect(modulo(whole.at(-1)?.midi ?? -1, 12)).toBe(5);
  });

  it('is not held where the music is to go round, however much of it', () => {
    for (const options of [{ ends: false }, { ends: false, choruses: { from: 0, to: 1 } }]) {
      const round = played(CHANGES, { choruses: 2, options });
      expect(within(chair(round, 'drums'), 15 * BAR + BEAT, 16 * BAR).length).toBeGreaterThan(2);
    }
  });

  it('is not made up where the tune ends in silence', () => {
    const one = played('| Dm7 | G7 | C6 | N.C. |');
    for (const id of ['guitar', 'piano', 'bass'])
      expect(within(chair(one, id), 3 * BAR, 4 * BAR)).toEqual([]);
  });
});

describe('the bass chair', () => {
  it('walks, marks two, holds a pedal or lays out as it is told', () => {
    const wish = (words: Direction['words']): number[] =>
      within(
        chair(played(CHANGES, { state: directed(words, 'bass', 0, 2 * BAR) }), 'bass'),
        0,
        2 * BAR,
      ).map(({ start }) => start / BEAT);
    expect(wish('walk')).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
    expect(wish('two-feel')).toEqual([0, 2, 4, 6]);
    expect(wish('pedal')).toEqual([0, 4]);
    expect(wish('hits')).toEqual([0, 4]);
    expect(wish('lay out')).toEqual([]);
  });

  it('walks another line in the next chorus, over the same roots', () => {
    const one = played(CHANGES, { head: 'meter: 4/4\ntempo: 120', choruses: 3 });
    const line = (chorus: number): number[] =>
      within(chair(one, 'bass'), chorus * 8 * BAR, chorus * 8 * BAR + 7 * BAR).map(
        ({ midi }) => midi,
      );
    expect(line(1)).not.toEqual(line(0));
    const roots = (chorus: number): number[] =>
      line(chorus)
        .filter((_, beat) => beat % 4 === 0)
        .map((midi) => modulo(midi, 12));
    expect(roots(1)).toEqual(roots(0));
  });

  it('plays a bossa in dotted quarters and eighths that lead on inside a chord', () => {
    const head = 'meter: 4/4\ntempo: 132\nfeel: bossa nova';
    const line = chair(played('| Cmaj7 | % | Dm7 | G7 | Cmaj7 | % |', { head }), 'bass');
    const bar = within(line, 0, 2 * BAR);
    const [root, early, fifth, last, second] = bar.map(({ midi }) => midi);
    const places = [0, 1.5, 2, 3.5, 4, 5.5, 6, 7.5];
    expect(bar.map(({ start }) => start / BEAT)).toEqual(places);
    expect(early).toBe(fifth);
    expect(early).not.toBe(root);
    expect(last).toBe(second);
    const change = within(line, 2 * BAR - BEAT / 2, 2 * BAR + 1).map(({ midi }) => midi % 12);
    expect(change[1]).toBe(2);
    expect(change[0]).not.toBe(2);
  });

  it('comes in as loud as its chorus is, also when it laid out over the bar line', () => {
    const state = (empty: ArrangementState): ArrangementState =>
      directed('lay out', 'bass', 0, 2 * BEAT)(intense(5)(empty));
    const head = 'meter: 4/4\ntempo: 120';
    const [late] = chair(played(CHANGES, { head, state }), 'bass');
    const full = chair(played(CHANGES, { head, state: intense(5) }), 'bass');
    expect(late?.start).toBe(2 * BEAT);
    expect(late?.velocity).toBe(full.find(({ start }) => start === 2 * BEAT)?.velocity);
  });

  it('follows a direction that begins inside a bar from there on', () => {
    const one = played(CHANGES, { state: directed('walk', 'bass', 2 * BEAT, BAR) });
    const starts = within(chair(one, 'bass'), 0, 2 * BAR).map(({ start }) => start / BEAT);
    expect(starts).toEqual([0, 2, 3, 4, 5, 6]);
  });
});

describe('the drummer', () => {
  it.each(METERS)('keeps time on every beat of every bar in %s %s', (...feel) => {
    const { tune, chorus } = tuneOf(headOf(feel), CHANGES);
    const one = played(CHANGES, { head: `${headOf(feel)}`, choruses: 2 });
    const beat = beatTicks(tune.meter);
    for (let at = 0; at < 2 * chorus.length - barTicks(tune.meter); at += beat)
      expect(within(chair(one, 'drums'), at, at + beat).length, `${at}`).toBeGreaterThan(0);
  });

  it.each(METERS)('has every stroke inside the bar in %s %s', (...[text, name]) => {
    const { tune } = tuneOf(headOf([text, name]), CHANGES);
    for (const feel of [
      'swing',
      'shuffle',
      'ballad',
      'bossa',
      'straight',
      'waltz',
      'five',
      'compound',
    ] as const) {
      for (let bar = 0; bar < 4; bar++) {
        const end = (barTicks(tune.meter) / beatTicks(tune.meter)) * partsOfBeat(tune.meter);
        for (const { at, velocity } of drumStrokes(feel, tune.meter, bar)) {
          expect(at).toBeGreaterThanOrEqual(0);
          expect(at).toBeLessThan(end);
          expect(velocity).toBeGreaterThan(0);
        }
      }
    }
  });

  it('marks five as three and two and seven as four and three in even eighths', () => {
    const places = (count: number, key: number): number[] =>
      drumStrokes('straight', { count, unit: 4 }, 0)
        .filter((stroke) => stroke.key === key && stroke.at % 2 === 0)
        .map(({ at }) => at / 2);
    expect(places(5, KIT.kick)).toEqual([0, 3]);
    expect(places(5, KIT.snare)).toEqual([2, 4]);
    expect(places(7, KIT.kick)).toEqual([0, 4]);
    expect(places(4, KIT.snare)).toEqual([1, 3]);
  });

  it.each(METERS)('does not play every bar of four alike in %s %s', (...[text, name]) => {
    const { tune } = tuneOf(headOf([text, name]), CHANGES);
    const feel = feelOf(tune.feel, tune.meter).name;
    const bars = [0, 1, 2, 3].map((bar) => JSON.stringify(drumStrokes(feel, tune.meter, bar)));
    expect(new Set(bars).size).toBeGreaterThan(1);
  });

  it('fills at the end of a section once the music has risen, and crashes where a chorus lifts', () => {
    const flat = played(CHANGES, { choruses: 2, state: intense(0, 0) });
    const risen = played(CHANGES, { choruses: 2, state: intense(1, 4) });
    const fill = (one: Performance): number =>
      within(chair(one, 'drums'), 8 * BAR - BEAT, 8 * BAR).filter(({ midi }) => midi === KIT.snare)
        .length;
    const crashes = (one: Performance): number[] =>
      chair(one, 'drums')
        .filter(({ midi }) => midi === KIT.crash)
        .map(({ start }) => start);
    expect(fill(risen)).toBeGreaterThan(fill(flat));
    expect(crashes(risen)).toContain(8 * BAR);
    expect(crashes(flat)).not.toContain(8 * BAR);
  });

  it('marks the changes and stops the time where it is told to play hits', () => {
    const one = played('| Cmaj7 | Dm7 G7 | Cmaj7 | % |', {
      state: directed('hits', 'drums', 0, 2 * BAR),
    });
    expect(strikes(one, 'drums').filter((at) => at < 2 * BAR)).toEqual([0, BAR, BAR + 2 * BEAT]);
  });
});

describe('the soloists', () => {
  const MELODY = '| Cmaj7 | G7 |\nmelody: | half C5 E5 | half D5 B4 |';

  it('play the melody in the heads, the first of them alone, and the guide tones in between', () => {
    const one = played(MELODY, { choruses: 4 });
    const head = within(chair(one, 'tenor'), 0, 2 * BAR);
    expect(head.map(({ start }) => start / BEAT)).toEqual([0, 2, 4, 6]);
    expect(head.map(({ midi }) => modulo(midi, 12))).toEqual([0, 4, 2, 11]);
    expect(within(chair(one, 'tenor'), 6 * BAR, 8 * BAR)).toHaveLength(4);
    expect(within(chair(one, 'trumpet'), 0, 2 * BAR)).toEqual([]);
    expect(within(chair(one, 'trumpet'), 6 * BAR, 8 * BAR)).toEqual([]);
  });

  it('take turns chorus by chorus', () => {
    const one = played('| Cmaj7 | G7 |', { choruses: 4 });
    const turns = (id: string): boolean[] =>
      [0, 1, 2, 3].map((at) => within(chair(one, id), at * 2 * BAR, (at + 1) * 2 * BAR).length > 0);
    expect(turns('tenor')).toEqual([true, false, true, false]);
    expect(turns('trumpet')).toEqual([false, true, false, true]);
  });
});

describe('the count-in', () => {
  function counted(head: string, body = CHANGES): Performance {
    const { tune, chorus } = tuneOf(head, body);
    const state = emptyArrangement('T', 1);
    return perform({ tune, chorus, key: { tonic: 0, mode: 'major' }, state, band: TEST_BAND });
  }
  const clicks = (one: Performance): number[] =>
    within(chair(one, 'drums'), 0, one.countIn).map(({ start }) => start);

  it('is one bar of clicks, or two when the tempo is up, the first of them in halves', () => {
    const medium = counted('meter: 4/4\ntempo: 120');
    expect(medium.countIn).toBe(BAR);
    expect(clicks(medium)).toEqual([0, 960, 1920, 2880]);
    const up = counted('meter: 4/4\ntempo: 208');
    expect(up.countIn).toBe(2 * BAR);
    expect(clicks(up)).toEqual([0, 1920, 3840, 4800, 5760, 6720]);
  });

  it('clicks the counted beats of the meter: two in 6/8, five in 5/4', () => {
    expect(clicks(counted('meter: 6/8\ntempo: 60'))).toEqual([0, 1440]);
    expect(clicks(counted('meter: 5/4\ntempo: 120'))).toEqual([0, 960, 1920, 2880, 3840]);
  });

  it('ends early enough for a pickup: its notes fall on the beats they are written on', () => {
    const one = counted(
      'meter: 4/4\ntempo: 120\npickup: 1',
      '| N.C. | Cmaj7 | G7 |\nmelody: | quarter G4 | whole C5 | whole B4 |',
    );
    expect(one.countIn).toBe(3 * BEAT);
    expect(chair(one, 'tenor').map(({ start }) => start)).toEqual([3 * BEAT, 4 * BEAT, 8 * BEAT]);
    expect(clicks(one)).toEqual([0, 960, 1920]);
  });
});

describe('a minus-one', () => {
  it('lacks the chair and leaves everybody else as they were', () => {
    const full = played(CHANGES, { choruses: 2 });
    for (const id of ['guitar', 'bass', 'tenor', 'drums']) {
      const minus = played(CHANGES, { choruses: 2, options: { without: id } });
      expect(minus.tracks.map((track) => track.chair)).toEqual(
        full.tracks.map((track) => track.chair).filter((other) => other !== id),
      );
      for (const track of minus.tracks)
        expect(track.notes, `${track.chair} without ${id}`).toEqual(chair(full, track.chair));
    }
  });
});

describe('a copy at half speed', () => {
  it('has the same notes on the same ticks, at half the tempo', () => {
    const straight = played(CHANGES);
    const slow = played(CHANGES, { options: { speed: 0.5 } });
    expect(slow.quarterBpm).toBe(straight.quarterBpm / 2);
    expect(slow.tracks).toEqual(straight.tracks);
    expect(slow.length).toBe(straight.length);
  });
});

describe('dynamics', () => {
  it('follow the intensity of the choruses in every chair that plays them', () => {
    const one = played(CHANGES, { choruses: 4, state: intense(0, 2, 5, 2) });
    const loud = (id: string, chorus: number): number => {
      const notes = within(chair(one, id), chorus * 8 * BAR, (chorus + 1) * 8 * BAR);
      return notes.reduce((sum, { velocity }) => sum + velocity, 0) / notes.length;
    };
    for (const id of ['guitar', 'piano', 'bass', 'drums']) {
      expect(loud(id, 1), id).toBeGreaterThan(loud(id, 0));
      expect(loud(id, 2), id).toBeGreaterThan(loud(id, 1));
      expect(loud(id, 3), id).toBeLessThan(loud(id, 2));
    }
  });

  it('stay between 1 and 127 at the peak', () => {
    const one = played(CHANGES, { choruses: 2, state: intense(5, 5) });
    for (const { velocity } of one.tracks.flatMap((track) => track.notes)) {
      expect(velocity).toBeGreaterThan(0);
      expect(velocity).toBeLessThanOrEqual(127);
    }
  });
});

describe('directions that change nothing in a rehearsal', () => {
  it.each(['time', 'on cue'] as const)('are played as usual: %s', (words) => {
    const usual = played(CHANGES);
    for (const id of ['guitar', 'bass', 'drums'])
      expect(played(CHANGES, { state: directed(words, id, 0, 8 * BAR) })).toEqual(usual);
  });
});

describe('a performance', () => {
  it('is the same every time', () => {
    expect(played(CHANGES, { choruses: 3 })).toEqual(played(CHANGES, { choruses: 3 }));
  });
});
