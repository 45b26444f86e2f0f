import { describe, expect, it } from 'vitest';
import { chorusesInOrder, emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import { placementOf, usualLayer } from '../../shared-core/arrangement/placement.ts';
import { harmonyAt, realise } from '../../shared-core/arrangement/realise.ts';
import { symbolOf } from '../../shared-core/chord/format.ts';
import type { Chord, Harmony } from '../../shared-core/chord/model.ts';
import { alterOf, chromaOf, type Spelled } from '../../shared-core/pitch/spelled.ts';
import { disjointSpans, planArc } from '../../shared-core/proposals/arc.ts';
import { propose } from '../../shared-core/proposals/propose.ts';
import type { Chorus, TimedHarmony } from '../../shared-core/tune/model.ts';
import { chordOf } from '../support/chord.ts';
import { tuneOf } from '../support/parts.ts';
import { sample, sampleNames } from '../support/samples.ts';

/**
 * One sound, one name: within a section of a chorus, whatever proposals meet there, a root has two names only
 * where each has a reason a copyist would give. Reasons: common practice, no source.
 */

/** A chord of a chorus as its reader sees it, with what comes after it. */
interface Seen {
  readonly chord: Chord;
  readonly at: number;
  readonly written: boolean;
  /** What the page has there. */
  readonly page: Harmony | null;
  readonly next: Seen | null;
}

function seenIn(line: readonly TimedHarmony[], chorus: Chorus, order: number): Seen[] {
  const from = order * chorus.length;
  const seen: Seen[] = [];
  let next: Seen | null = null;
  for (const { start, harmony } of [...line].reverse()) {
    if (harmony.kind !== 'chord') continue;
    const page = harmonyAt(chorus.harmony, start % chorus.length);
    const written = page?.kind === 'chord' && page.root === harmony.root;
    const one: Seen = { chord: harmony, at: start - from, written, page, next };
    if (one.at >= 0 && one.at < chorus.length) seen.unshift(one);
    next = one;
  }
  return seen;
}

const READ = [-3, 4, 1, -6, -2];

/** Cb, Fb, E#, B#, or a double accidental in what must be read: third, fifth, seventh. */
function isHard({ quality }: Chord, root: Spelled): boolean {
  if (root <= -7 || root >= 11) return true;
  if (quality.family === 'diminished') return false;
  return quality.fifths.some((up) => READ.includes(up) && Math.abs(alterOf(root + up)) > 1);
}

const DIATONIC_SEMITONE = 5;

/** Why a chord has its name and no other; null where the other one would do as well. */
function reasonFor({ chord, written, next }: Seen): string | null {
  const { root } = chord;
  if (written) return 'it is written so';
  if (chord.quality.family === 'diminished') return 'a diminished chord is named by where it leads';
  const step = next === null ? null : root - next.chord.root;
  if (step !== null && Math.abs(step) === DIATONIC_SEMITONE) return 'a semitone to the next letter';
  if (next !== null && step !== null && [0, 1, 2, -2].includes(step) && reasonFor(next) !== null)
    return 'a fifth or a tone to a chord that has its name';
  if (next?.page?.kind === 'chord' && root - next.page.root === 1)
    return 'a fifth to the chord of the page';
  if (isHard(chord, root)) return null;
  return isHard(chord, root + (root > 0 ? -12 : 12)) ? 'the other name is hard to read' : null;
}

/** Roots of one section under two names of which one has no reason. */
function conflicts(seen: readonly Seen[]): string[] {
  const names = new Map<number, Map<Spelled, Seen[]>>();
  for (const one of seen) {
    const { root } = one.chord;
    const byName = names.get(chromaOf(root)) ?? new Map<Spelled, Seen[]>();
    byName.set(root, [...(byName.get(root) ?? []), one]);
    names.set(chromaOf(root), byName);
  }
  return [...names.values()].flatMap((byName) => {
    if (byName.size < 2) return [];
    const [first = [], second = []] = [...byName.values()];
    const free = [first, second].filter((ones) => ones.every((one) => reasonFor(one) === null));
    const shown = [first, second].map((ones) => symbolOf(ones[0]?.chord as Chord)).join(' / ');
    return free.length > 0 ? [shown] : [];
  });
}

/** Conflicts in every section of every chorus, in what the band and what the soloist reads. */
function conflictsIn(line: readonly TimedHarmony[], chorus: Chorus, choruses: number): string[] {
  const starts = chorus.bars.filter(({ startsSection }) => startsSection).map(({ start }) => start);
  const found: string[] = [];
  for (let order = 0; order < choruses; order++) {
    const seen = seenIn(line, chorus, order);
    starts.forEach((start, index) => {
      const end = starts[index + 1] ?? chorus.length;
      const here = seen.filter(({ at }) => at >= start && at < end);
      found.push(...conflicts(here).map((names) => `chorus ${order + 1}: ${names}`));
    });
  }
  return found;
}

const LEVELS = [
  [1, 2, 3, 4, 5],
  [5, 5, 5, 5, 5],
  [2, 4, 1, 5, 3],
];

describe.each(sampleNames())('every planned arrangement of %s', (name) => {
  const { tune, analysis } = sample(name);
  const { chorus } = analysis;
  const candidates = propose(analysis, { tempo: tune.tempo });

  it.each(LEVELS)('names one root once in a section, at levels %i %i %i %i %i', (...levels) => {
    const empty = emptyArrangement('Any', levels.length);
    const plans = chorusesInOrder(empty);
    const arc = planArc({
      spans: disjointSpans(analysis.spans, (span) => span.length),
      choruses: levels.map((intensity) => ({ intensity, candidates })),
    });
    if (!arc.ok) throw new Error(JSON.stringify(arc.error));
    const placements = arc.value.choices.flatMap(({ chorus: order, proposal }, index) => {
      const plan = plans[order];
      if (!plan || proposal === null || proposal === 'hand') return [];
      const id = `p${index}`;
      return [[id, placementOf(proposal, plan.id, usualLayer(proposal), id)] as const];
    });
    expect(placements.length).toBeGreaterThan(3);
    const state = { ...empty, placements: Object.fromEntries(placements) };
    const { band, solo } = realise(chorus, state);
    for (const line of [band, solo]) expect(conflictsIn(line, chorus, levels.length)).toEqual([]);
  });
});

describe('the detector', () => {
  const line = (symbols: readonly string[]): TimedHarmony[] =>
    symbols.map((symbol, at) => ({ start: at * 960, length: 960, harmony: chordOf(symbol) }));
  const { chorus } = tuneOf('title: T\nkey: Eb\n\n[A]\n| Fm7 | Bb7 |\n').analysis;

  it.each([
    ['Fm7 Gbm7 Cb7 Fm7 B7 E7 A7 D7', ['chorus 1: Cb7 / B7']],
    ['Fm7 F#m7 B7 Fm7 B7 E7 A7 D7', []],
    ['Fm7 F#7 Fm7 Bbm7 Gb7 Fm7 Bb7 Eb6', ['chorus 1: F#7 / Gb7']],
    ['Fm7 C#dim7 Dm7 G7 Cm7 Db7 C7 Fm7', []],
  ])('judges %s', (symbols, expected) => {
    expect(conflictsIn(line(symbols.split(' ')), chorus, 1)).toEqual(expected);
  });
});
