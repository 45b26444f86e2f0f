import type { Analysis, DeviceName } from '../analysis/model.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import type { Ticks } from '../time/meter.ts';
import type { Change, Device, Site, Thinning } from './model.ts';
import { siteOver } from './site.ts';

/**
 * Thinning: the inverse rewrite. Nothing here knows any device. A window of written chords is taken to
 * have been plainer once (one chord held through it, or what the device's `plainer` guesses), the device
 * proposes on that, and where one of its rewrites is exactly what stands there, the plainer changes are
 * the thinning. So what takes out can never disagree with what puts in.
 */

/** Longest window looked at, in different chords (the longest rewrites write eight) and in bars. */
const LONGEST_WINDOW = 9;
const LONGEST_BARS = 8;
/** Windows tried for devices other than the one recognised. */
const NEAR_WINDOW = 4;

/**
 * The plainest reading of a chord in which a device is recognised: what that device wrote is taken out;
 * if it wrote nothing here as such, what any other device wrote; and a chord of a bar or less that no
 * rule accounts for gives its time to the chord before it, which rings on. Null where no device is
 * recognised, and where the chord is long enough to belong to the tune itself.
 *
 * @param devices every device, the source of the guesses
 * @param index index in `analysis.chords`
 */
export function simplify(
  analysis: Analysis,
  devices: readonly Device[],
  index: number,
): Thinning | null {
  const name = analysis.chords[index]?.device ?? null;
  const device = devices.find((one) => one.name === name);
  if (device === undefined) return null;
  for (const own of candidates(analysis, device, runsOrStruck(analysis), index, LONGEST_WINDOW)) {
    if (takesOut(analysis, own, index)) return own;
  }
  for (const other of devices) {
    if (other === device) continue;
    for (const found of candidates(analysis, other, [runsOf(analysis)], index, NEAR_WINDOW)) {
      if (takesOut(analysis, found, index)) return found;
    }
  }
  return ringOn(analysis, device, index);
}

/** Whether a thinning replaces the chord at `index`, and not only its neighbours. */
function takesOut(analysis: Analysis, thinning: Thinning, index: number): boolean {
  const chord = analysis.chords[index];
  const start = analysis.chords[thinning.first]?.start;
  if (chord === undefined || start === undefined) return false;
  const at = (chord.start - start + analysis.chorus.length) % analysis.chorus.length;
  const there = thinning.changes.find((change) => at < change.at + change.length);
  return there !== undefined && !sameChord(there.harmony, chord.harmony);
}

/** The chord before rings on through a chord of a bar or less. */
function ringOn(analysis: Analysis, device: Device, index: number): Thinning | null {
  const runs = runsOf(analysis);
  const at = runs.findIndex((run) => holds(run, index));
  const run = runs[at];
  const bar = analysis.chorus.bars[(analysis.chords[index]?.bar ?? 1) - 1];
  if (run === undefined || bar === undefined || runs.length < 2 || run.length > bar.length)
    return null;
  const { harmony } = runAt(runs, at - 1);
  if (harmony.kind === 'none') return null;
  const changes = [{ at: 0, length: run.length, harmony }];
  return { device: device.name, first: run.first, last: run.last, changes };
}

/** A chord of the circle with the times it is struck again joined to it. */
interface Run {
  readonly first: number;
  readonly last: number;
  readonly start: Ticks;
  readonly length: Ticks;
  readonly harmony: Harmony;
}

/**
 * The simplest way to take `device` out of the written changes at chord `index`: the shortest window
 * first. Null when the device did not write what stands there.
 *
 * @param index index in `analysis.chords`; the window found contains that chord
 */
export function thin(analysis: Analysis, device: Device, index: number): Thinning | null {
  const found = candidates(analysis, device, runsOrStruck(analysis), index, LONGEST_WINDOW);
  return found.next().value ?? null;
}

/** Every way to take the device out around a chord, the shortest window first. */
export function thinnings(analysis: Analysis, device: Device, index: number): readonly Thinning[] {
  return [...candidates(analysis, device, runsOrStruck(analysis), index, LONGEST_WINDOW)];
}

/** The chords joined where they are struck again, and (where that differs) as they are struck. */
function runsOrStruck(analysis: Analysis): readonly (readonly Run[])[] {
  const runs = runsOf(analysis);
  return runs.length < analysis.chords.length ? [runs, struck(analysis)] : [runs];
}

function* candidates(
  analysis: Analysis,
  device: Device,
  views: readonly (readonly Run[])[],
  index: number,
  longest: number,
): Generator<Thinning, undefined> {
  for (const runs of views) yield* around(analysis, device, runs, index, longest);
}

function* around(
  analysis: Analysis,
  device: Device,
  runs: readonly Run[],
  index: number,
  largest: number,
): Generator<Thinning, undefined> {
  const here = runs.findIndex((run) => holds(run, index));
  if (here < 0 || runs.length < 2) return;
  const longest = Math.min(largest, runs.length - 1);
  const reach = LONGEST_BARS * (analysis.chorus.bars[0]?.length ?? 0);
  for (let size = 1; size <= longest; size += 1) {
    for (let from = here - size + 1; from <= here; from += 1) {
      let length = 0;
      for (let i = 0; i < size; i += 1) length += runAt(runs, from + i).length;
      if (length <= reach) yield* inWindow(analysis, device, runs, from, size);
    }
  }
}

/** Every chord as often as it is struck: where a chord comes in early and is struck again on its bar line. */
function struck(analysis: Analysis): readonly Run[] {
  return analysis.chords.map(({ start, length, harmony }, i) => ({
    first: i,
    last: i,
    start,
    length,
    harmony,
  }));
}

function holds(run: Run, index: number): boolean {
  return run.first <= run.last
    ? index >= run.first && index <= run.last
    : index >= run.first || index <= run.last;
}

/** Different chords in order; a chord held round the form's end is one run, listed last. */
function runsOf(analysis: Analysis): readonly Run[] {
  const runs: Run[] = [];
  analysis.chords.forEach((chord, i) => {
    const before = runs.at(-1);
    if (before !== undefined && sameChord(before.harmony, chord.harmony)) {
      runs[runs.length - 1] = { ...before, last: i, length: before.length + chord.length };
    } else {
      runs.push({
        first: i,
        last: i,
        start: chord.start,
        length: chord.length,
        harmony: chord.harmony,
      });
    }
  });
  const top = runs[0];
  const end = runs.at(-1);
  if (top !== undefined && end !== undefined && runs.length > 1) {
    if (sameChord(top.harmony, end.harmony)) {
      runs.splice(runs.length - 1, 1, { ...end, last: top.last, length: end.length + top.length });
      runs.shift();
    }
  }
  return runs;
}

function inWindow(
  analysis: Analysis,
  device: Device,
  runs: readonly Run[],
  from: number,
  size: number,
): readonly Thinning[] {
  const window = Array.from({ length: size }, (_, i) => runAt(runs, from + i));
  const first = window[0];
  const last = window.at(-1);
  if (first === undefined || last === undefined) return [];
  if (window.some((run) => run.harmony.kind === 'none')) return [];
  const changes = changesIn(window);
  const before = runAt(runs, from - 1).harmony;
  const next = runAt(runs, from + size).harmony;
  const guesses = guessesFor(device, analysis, first, changes, before, next);
  return guesses
    .filter((written) => {
      const site = siteOver(analysis, first.first, last.last, written);
      return site !== null && writes(device, site, changes);
    })
    .map((written) => ({
      device: device.name as DeviceName,
      first: first.first,
      last: last.last,
      changes: written,
    }));
}

function runAt(runs: readonly Run[], index: number): Run {
  const run = runs[((index % runs.length) + runs.length) % runs.length];
  if (run === undefined) throw new Error('A circle of chords cannot be empty here');
  return run;
}

function changesIn(window: readonly Run[]): readonly Change[] {
  let at = 0;
  return window.map((run) => {
    const change = { at, length: run.length, harmony: run.harmony };
    at += run.length;
    return change;
  });
}

function sameRoot(a: Harmony, b: Harmony | undefined): boolean {
  return b !== undefined && a.kind === 'chord' && b.kind === 'chord' && a.root === b.root;
}

/** What may have been written: a chord at an edge of the window (or on its root) held throughout, then the device's own guesses. */
function guessesFor(
  device: Device,
  analysis: Analysis,
  first: Run,
  changes: readonly Change[],
  before: Harmony,
  next: Harmony,
): readonly (readonly Change[])[] {
  const length = changes.reduce((sum, change) => sum + change.length, 0);
  const held: Chord[] = [];
  const inside = changes.map((change) => change.harmony);
  const [start, end] = [inside[0], inside.at(-1)];
  const kin = inside.filter((chord) => sameRoot(chord, start) || sameRoot(chord, end));
  for (const harmony of [start, before, next, ...kin]) {
    if (harmony === undefined || harmony.kind === 'none') continue;
    if (!held.some((chord) => sameChord(chord, harmony))) held.push(harmony);
  }
  const guesses = held.map((harmony) => [{ at: 0, length, harmony }]);
  const key = analysis.chords[first.first]?.localKey;
  if (device.plainer === undefined || key === undefined) return guesses;
  const arrival = next.kind === 'none' ? null : next;
  return [...guesses, ...device.plainer(changes, key, arrival)];
}

function writes(device: Device, site: Site, changes: readonly Change[]): boolean {
  return device.propose(site).some((rewrite) => sameChanges(rewrite.changes, changes));
}

function sameChanges(a: readonly Change[], b: readonly Change[]): boolean {
  return (
    a.length === b.length &&
    a.every((change, i) => {
      const other = b[i];
      return (
        other !== undefined &&
        change.at === other.at &&
        change.length === other.length &&
        sameChord(change.harmony, other.harmony)
      );
    })
  );
}
