import type { Band, Chair } from '../arrangement/band.ts';
import type { ArrangementState, Direction, KeptLine, Realisation } from '../arrangement/model.ts';
import { realise } from '../arrangement/realise.ts';
import { sameChord } from '../chord/same.ts';
import type { Key } from '../pitch/key.ts';
import type { Ticks } from '../time/meter.ts';
import { type Feel, feelOf } from '../tune/feel.ts';
import type { Chorus, FormBar, TimedHarmony, Tune } from '../tune/model.ts';

/** What is to be played. */
export interface PerformInput {
  readonly tune: Tune;
  readonly chorus: Chorus;
  /** Key the tune is in (written or inferred). */
  readonly key: Key;
  readonly state: ArrangementState;
  readonly band: Band;
  readonly options?: PerformOptions;
}

/** How it is to be played. */
export interface PerformOptions {
  /** Bars counted in; absent: one, or two from 160 beats a minute. */
  readonly countInBars?: number;
  /** Leave this chair out: its minus-one. */
  readonly without?: string;
  /** 1 as marked, 0.5 half speed. */
  readonly speed?: number;
  /** Only these choruses, 0-based, one after another. */
  readonly choruses?: { readonly from: number; readonly to: number };
  /**
   * Whether the last chord of what is played is struck and held; otherwise the music goes round. Absent: it is
   * held at the end of the arrangement, and a single chorus goes round.
   */
  readonly ends?: boolean;
  /**
   * The bass plays what its part writes out on demand (`PartOptions.walkingLine`), the same in all choruses
   * with the same changes. Absent: another line in every chorus.
   */
  readonly bassAsWritten?: boolean;
}

/** Tempo taken when neither the arrangement nor the tune names one. */
export const USUAL_TEMPO = 120;

/** A bar of the whole arrangement, end to end. */
export interface PlayedBar extends FormBar {
  /** 0-based chorus, and its intensity 0-5. */
  readonly chorus: number;
  readonly intensity: number;
}

/** Everything the players of a performance share. Times are ticks from the first bar, before swing. */
export interface Stage {
  readonly tune: Tune;
  readonly state: ArrangementState;
  readonly chorus: Chorus;
  readonly realisation: Realisation;
  readonly bars: readonly PlayedBar[];
  /** What the band plays, a chord written again (a simile) taken as the chord that goes on. */
  readonly changes: readonly TimedHarmony[];
  readonly feel: Feel;
  readonly tempo: number;
  readonly directions: readonly (Direction & { readonly at: Ticks })[];
  /** Kept lines; `at` is where their chorus starts. */
  readonly lines: readonly (KeptLine & { readonly at: Ticks })[];
  readonly chairs: readonly Chair[];
  /** Where the last chord of all is struck and held to the end; null when the music goes round or ends in silence. */
  readonly ending: { readonly start: Ticks; readonly length: Ticks } | null;
  /** See {@link PerformOptions}. */
  readonly bassAsWritten: boolean;
}

const HOUSE_DRUMS: Chair = {
  id: 'drums',
  name: 'Drums',
  instrument: 'drum-set',
  role: 'drums',
  order: 99,
};

const HOUSE_SOLOIST: Chair = {
  id: 'soloist',
  name: 'Soloist',
  instrument: 'tenor-sax',
  role: 'soloist',
  order: 98,
};

/**
 * The chairs that play. A band without a drummer gets a drum track, so that there is time to rehearse to, and
 * one without a soloist gets somebody for the changes that are laid over the band's for a soloist alone.
 */
function playersOf(input: PerformInput, realisation: Realisation): Chair[] {
  const chairs = [...input.band.chairs].sort((a, b) => a.order - b.order);
  const lacks = ({ id, role }: Chair): boolean =>
    input.options?.without !== id && !chairs.some((chair) => chair.role === role);
  const superimposed = realisation.placements.some(
    ({ placement }) => placement.layer === 'soloist',
  );
  if (superimposed && lacks(HOUSE_SOLOIST)) chairs.push(HOUSE_SOLOIST);
  if (lacks(HOUSE_DRUMS)) chairs.push(HOUSE_DRUMS);
  return chairs;
}

/** Sets the stage: the arrangement laid out, and who plays it how. */
export function stageOf(input: PerformInput): Stage {
  const { tune, chorus, state } = input;
  const realisation = realise(chorus, state);
  const bars = barsOf(chorus, realisation);
  const order = new Map(realisation.choruses.map((plan) => [plan.id, plan.order]));
  return {
    tune,
    state,
    chorus,
    realisation,
    bars,
    changes: changesOf(realisation.band),
    feel: feelOf(state.head.feel ?? tune.feel, tune.meter),
    tempo: state.head.tempo ?? tune.tempo ?? USUAL_TEMPO,
    directions: Object.values(state.directions).map((direction) => ({
      ...direction,
      at: (order.get(direction.chorus) ?? 0) * chorus.length + direction.start,
    })),
    lines: Object.values(state.lines).map((line) => ({
      ...line,
      at: (order.get(line.chorus) ?? 0) * chorus.length,
    })),
    chairs: playersOf(input, realisation),
    ending: endingOf(bars, realisation, input.options),
    bassAsWritten: input.options?.bassAsWritten ?? false,
  };
}

function barsOf(chorus: Chorus, realisation: Realisation): PlayedBar[] {
  return realisation.choruses.flatMap((plan) =>
    chorus.bars.map((bar) => ({
      ...bar,
      start: bar.start + plan.order * chorus.length,
      chorus: plan.order,
      intensity: plan.intensity,
    })),
  );
}

/** Neighbours with the same chord joined: a change is where another one comes. */
export function changesOf(line: readonly TimedHarmony[]): TimedHarmony[] {
  const joined: TimedHarmony[] = [];
  for (const event of line) {
    const before = joined[joined.length - 1];
    if (before && sameChord(before.harmony, event.harmony))
      joined[joined.length - 1] = { ...before, length: event.start + event.length - before.start };
    else joined.push(event);
  }
  return joined;
}

/**
 * The last chord is struck where it begins in the last bar, or on that bar line, and held; see
 * `PerformOptions.ends`. What ends in silence (N.C.) goes round.
 */
function endingOf(
  bars: readonly PlayedBar[],
  realisation: Realisation,
  options: PerformOptions | undefined,
): Stage['ending'] {
  const { choruses, ends } = options ?? {};
  const single = choruses !== undefined && choruses.from === choruses.to;
  if (!(ends ?? !single)) return null;
  const lastChorus = realisation.choruses.length - 1;
  const chorus = ends === true ? Math.min(choruses?.to ?? lastChorus, lastChorus) : lastChorus;
  const last = bars.findLast((bar) => bar.chorus === chorus);
  if (!last) return null;
  const end = last.start + last.length;
  const event = realisation.band.findLast(({ start }) => start < end);
  if (event?.harmony.kind !== 'chord') return null;
  const start = Math.max(last.start, event.start);
  return { start, length: end - start };
}

/**
 * What a chair is directed to do at a tick; null where it plays as usual. `time` is what a rhythm section does
 * unasked, and `on cue` is played every time: a rehearsal takes the leader's cue as given.
 */
export function wordsAt(stage: Stage, chair: string, at: Ticks): Direction['words'] | null {
  for (const direction of stage.directions) {
    if (direction.chair !== chair) continue;
    if (at >= direction.at && at < direction.at + direction.length) return direction.words;
  }
  return null;
}

/**
 * A fixed, well-mixed number for a place, 0 to `among` - 1: what varies from bar to bar takes it instead of
 * chance, so that the same arrangement always sounds the same. Knuth's multiplicative hash.
 */
export function variation(place: number, among: number): number {
  return ((Math.imul(place + 1, 2654435761) >>> 8) ^ (place & 7)) % among;
}
