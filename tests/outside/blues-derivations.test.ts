import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Analysis, DeviceName } from '../../shared-core/analysis/model.ts';
import type { Harmony } from '../../shared-core/chord/model.ts';
import { DEVICES, deviceByName } from '../../shared-core/devices/index.ts';
import type { Change } from '../../shared-core/devices/model.ts';
import { sitesOf } from '../../shared-core/devices/site.ts';
import { symbol } from '../../shared-core/devices/sound.ts';
import { thin } from '../../shared-core/devices/thin.ts';
import { chromaOf } from '../../shared-core/pitch/spelled.ts';
import { understand } from '../../shared-core/proposals/understand.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { chordNamed } from '../support/site.ts';

/**
 * The derivations of tests/reference/blues-variants.json (sources in the file: Wikipedia on the twelve-bar
 * blues, M. Steedman's rules, course material): every step from one form of the blues to the next is
 * found as rewrites, after thinning what the step takes out.
 *
 * Colour is left aside: a plain triad, a major seventh and a dominant seventh on one root count as one
 * chord here, because "sevenths added" is no device. Bars are compared by root and by kind of third.
 */

interface Reference {
  readonly rows: readonly { readonly id: string; readonly in_c: readonly (readonly string[])[] }[];
  readonly derivations: readonly {
    readonly from: string;
    readonly to: string;
    readonly substitution: string;
  }[];
}

const reference = JSON.parse(
  readFileSync(new URL('../reference/blues-variants.json', import.meta.url), 'utf8'),
) as Reference;

const BAR = 3840;
const BEAT = 960;

/** What sounds on every beat of the twelve bars. */
type Beats = readonly Harmony[];

function beatsOf(id: string): Beats {
  const row = reference.rows.find((r) => r.id === id);
  if (row === undefined) throw new Error(`No blues form ${id}`);
  return row.in_c.flatMap((bar) =>
    bar.flatMap((name) => Array.from({ length: 4 / bar.length }, () => chordNamed(name))),
  );
}

/** The kind of a chord with its colour left aside. */
function kind(harmony: Harmony): string {
  if (harmony.kind === 'none') return '-';
  const { family } = harmony.quality;
  const third = family === 'major' || family === 'dominant' ? 'major' : family;
  return `${chromaOf(harmony.root)} ${third}`;
}

const agree = (a: Beats, b: Beats): number =>
  a.filter((harmony, i) => {
    const other = b[i];
    return other !== undefined && kind(harmony) === kind(other);
  }).length;

function analysed(beats: Beats): Analysis {
  const bars = Array.from({ length: 12 }, (_, i) =>
    beats
      .slice(4 * i, 4 * i + 4)
      .map((harmony) => (harmony.kind === 'none' ? 'N.C.' : symbol(harmony)))
      .join(' '),
  );
  const { tune } = readTune(`key: C major\nmeter: 4/4\n\n[A]\n| ${bars.join(' | ')} |\n`);
  const understood = tune === null ? null : understand(tune);
  if (understood === null || !understood.ok) throw new Error('The blues could not be read');
  return understood.value;
}

/** The beats with changes written from `start`. */
function written(beats: Beats, start: number, changes: readonly Change[]): Beats {
  const result = [...beats];
  for (const change of changes) {
    for (let at = change.at; at < change.at + change.length; at += BEAT) {
      const place = ((start + at) / BEAT) % beats.length;
      if (Number.isInteger(place)) result[place] = change.harmony;
    }
  }
  return result;
}

/** What a step takes out before it writes: the bar, and the device that stands there. */
const TAKEN_OUT: Readonly<Record<string, readonly (readonly [bar: number, DeviceName])[]>> = {
  // The five walks down through four in bar 10: five again, to be split into two and five.
  'dominant > jazz-vi7-plain': [[10, 'blues-four']],
  // The quick change and the two-five of bar 8 make room for the long chains.
  'jazz > bird': [
    [2, 'blues-four'],
    [8, 'related-two-five'],
  ],
  // The six-seven of bar 8 comes back at the end of the falling row.
  'jazz-vi7 > jazz-chromatic': [[8, 'lead-in-dominant']],
};

/** The form with a device taken out of a bar; throws when it does not stand there. */
function without(beats: Beats, bar: number, device: DeviceName): Beats {
  const analysis = analysed(beats);
  const index = analysis.chords.findIndex((chord) => chord.bar === bar && chord.beat === 1);
  const thinning = thin(analysis, deviceByName(device), index);
  const start = thinning === null ? undefined : analysis.chords[thinning.first]?.start;
  if (thinning === null || start === undefined) throw new Error(`No ${device} in bar ${bar}`);
  return written(beats, start, thinning.changes);
}

const same = (a: Beats, b: Beats): boolean => agree(a, b) === a.length;

/** Whether everything a rewrite changed is as the goal has it. */
function onlyGoal(before: Beats, after: Beats, goal: Beats): boolean {
  return after.every((harmony, i) => {
    const [was, wanted] = [before[i], goal[i]];
    if (was === undefined || wanted === undefined) return false;
    return kind(harmony) === kind(was) || kind(harmony) === kind(wanted);
  });
}

/** Rewrites, the one that agrees with the goal most first, until the goal is reached. */
function derives(
  from: Beats,
  to: Beats,
): { readonly steps: readonly string[]; readonly reached: boolean } {
  let state = from;
  const steps: string[] = [];
  while (!same(state, to)) {
    const here = agree(state, to);
    let best: { beats: Beats; words: string; score: number } | null = null;
    for (const site of sitesOf(analysed(state))) {
      for (const device of DEVICES) {
        for (const rewrite of device.propose(site)) {
          const beats = written(state, site.span.start, rewrite.changes);
          const score = agree(beats, to);
          if (score > here && score > (best?.score ?? 0) && onlyGoal(state, beats, to)) {
            best = { beats, score, words: `${device.name} ${rewrite.variant} at ${site.span.id}` };
          }
        }
      }
    }
    if (best === null) return { steps, reached: false };
    steps.push(best.words);
    state = best.beats;
  }
  return { steps, reached: true };
}

describe('the blues, step by step', () => {
  test.each(reference.derivations)('$from becomes $to ($substitution)', ({ from, to }) => {
    const goal = beatsOf(to);
    const taken = TAKEN_OUT[`${from} > ${to}`] ?? [];
    const plain = taken.reduce(
      (beats, [bar, device]) => without(beats, bar, device),
      beatsOf(from),
    );
    const { reached, steps } = derives(plain, goal);
    expect(reached, steps.join(', ')).toBe(true);
  });
});

test('a bar of the table is four beats', () => {
  expect(BAR / BEAT).toBe(4);
  for (const row of reference.rows) expect(beatsOf(row.id)).toHaveLength(48);
});
