import type { Chair } from '../arrangement/band.ts';
import type { Chord } from '../chord/model.ts';
import { isPushed } from '../parts/pushed.ts';
import { pathOptionsFor, voicedLine } from '../parts/voiced.ts';
import { midiOf } from '../pitch/spelled.ts';
import { beatTicks, metricWeight, type Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';
import type { Voicing } from '../voicing/model.ts';
import { neighbourOf, type PathOptions } from '../voicing/path.ts';
import type { PerformedNote } from './model.ts';
import { compingPatterns, type Hit, partsOfBeat } from './patterns.ts';
import { type PlayedBar, type Stage, variation, wordsAt } from './stage.ts';

/** Loudness of comping at intensity 0, what each step of intensity adds, what a strong beat or a push adds, and how far the second chair stays below. */
const LOUDNESS = { base: 52, intensity: 4, stress: 3, under: 12 } as const;
/** Part of its written length that a comped chord sounds: short enough to dance. */
const SOUNDING = 0.9;

/**
 * A comping chair: the voicings its chart shows (`parts/voiced.ts`) in the rhythm of the feel. Every change is heard, silence
 * (N.C.) is silent, a chord is struck again when the pattern says so and never rings into the next. A chord
 * that the chart brings in early is struck there and held over the bar line. The second comping chair plays
 * under the first: changes only, held and softer. Directed to `hits`, a chair strikes the changes and
 * nothing else. The last chord of all is held.
 *
 * Deterministic: which pattern a bar takes follows from its place and the intensity of its chorus alone.
 */
export function performComping(chair: Chair, stage: Stage): PerformedNote[] {
  const compers = stage.chairs.filter((other) => other.role === 'comping');
  const second = compers.findIndex((other) => other.id === chair.id) > 0;
  const events = stage.changes;
  const options = pathOptionsFor(chair, stage);
  const printed = voicedLine(stage.realisation, chair, stage, stage.chorus.melody);
  const voicings = events.map(({ start }) => printed.get(start) ?? null);
  // A top note that was wished for is not moved for a change of colour.
  const free = (chair.voicing?.top ?? 'free') === 'free';
  const colour = second || !free ? null : colours(events, voicings, options);
  const patterns = second ? [] : patternsFor(stage);
  const notes: PerformedNote[] = [];
  let event = 0;
  let held = 0;
  stage.bars.forEach((bar, index) => {
    while ((events[event + 1]?.start ?? Number.POSITIVE_INFINITY) <= bar.start) event++;
    for (const hit of hitsOf(bar, events, event, patterns[index] ?? [], second)) {
      if (hit.start < held || !plays(chair, stage, hit, events)) continue;
      if (hit.pushed) held = hit.start + hit.length;
      strike(notes, hit, colour?.(hit, bar) ?? voicings[hit.event], bar, second);
    }
  });
  return [...notes, ...lastChord(chair, stage, voicings)];
}

interface Struck {
  readonly start: Ticks;
  readonly length: Ticks;
  /** Index of the band event struck. */
  readonly event: number;
  /** Struck before the beat it belongs to and held over the bar line. */
  readonly pushed: boolean;
}

/** Whether a hit is the chair's to play: directions, and nothing once the last chord is struck. */
function plays(chair: Chair, stage: Stage, hit: Struck, events: readonly TimedHarmony[]): boolean {
  if (stage.ending && hit.start >= stage.ending.start) return false;
  if (stage.directions.length === 0) return true;
  const words = wordsAt(stage, chair.id, hit.start);
  if (words === 'hits') return hit.start === events[hit.event]?.start;
  return words !== 'lay out';
}

function lastChord(
  chair: Chair,
  stage: Stage,
  voicings: readonly (Voicing | null)[],
): PerformedNote[] {
  const { ending, changes } = stage;
  if (!ending) return [];
  const voicing = voicings[changes.findLastIndex(({ start }) => start <= ending.start)];
  if (!voicing || wordsAt(stage, chair.id, ending.start) === 'lay out') return [];
  return voicing.pitches.map((pitch) => ({
    ...ending,
    midi: midiOf(pitch),
    velocity: LOUDNESS.base,
  }));
}

function chordOf({ harmony }: TimedHarmony): Chord | null {
  return harmony.kind === 'chord' ? harmony : null;
}

/**
 * A chord held for long is not left lying: every other two bars it is played in the voicing next to it.
 * Each is looked for once.
 */
function colours(
  events: readonly TimedHarmony[],
  voicings: readonly (Voicing | null)[],
  options: PathOptions,
): (hit: Struck, bar: PlayedBar) => Voicing | null {
  const known = new Map<Voicing, Voicing>();
  return (hit, bar) => {
    const event = events[hit.event];
    const own = voicings[hit.event] ?? null;
    const chord = event && chordOf(event);
    if (!own || !chord) return own;
    if (Math.floor((hit.start - event.start) / (2 * bar.length)) % 2 === 0) return own;
    const other = known.get(own) ?? neighbourOf(chord, own, options) ?? own;
    known.set(own, other);
    return other;
  };
}

/** The hits of one bar: the pattern's, cut at changes, and one for every change no pattern hit says. */
function hitsOf(
  bar: PlayedBar,
  events: readonly TimedHarmony[],
  first: number,
  pattern: readonly Hit[],
  second: boolean,
): Struck[] {
  const end = bar.start + bar.length;
  const hits: Struck[] = [];
  for (let index = first; (events[index]?.start ?? end) < end; index++) {
    const event = events[index];
    if (event?.harmony.kind !== 'chord') continue;
    if (isPushed(event, bar)) {
      const held = end + (second ? bar.length : beatTicks(bar.meter));
      const length = Math.min(held, event.start + event.length) - event.start;
      hits.push({ start: event.start, length, event: index, pushed: true });
      continue;
    }
    pushPatternHits(hits, bar, event, index, pattern, second);
  }
  return hits;
}

function pushPatternHits(
  hits: Struck[],
  bar: PlayedBar,
  event: TimedHarmony,
  index: number,
  pattern: readonly Hit[],
  second: boolean,
): void {
  const from = Math.max(event.start, bar.start);
  const to = Math.min(event.start + event.length, bar.start + bar.length);
  const part = beatTicks(bar.meter) / partsOfBeat(bar.meter);
  const before = hits.length;
  for (const { at, length } of pattern) {
    const start = bar.start + at * part;
    if (start < from || start >= to) continue;
    const until = Math.min(start + length * part, to);
    hits.push({ start, length: until - start, event: index, pushed: false });
  }
  if (hits.length === before && (event.start >= bar.start || second))
    hits.push({ start: from, length: to - from, event: index, pushed: false });
}

/** Half the patterns of a feel are in use at a time: the sparse ones at intensity 0, the busy ones at 5. */
function patternsFor(stage: Stage): (readonly Hit[])[] {
  let last: readonly Hit[] | undefined;
  return stage.bars.map((bar) => {
    const all = compingPatterns(stage.feel.name, bar.meter);
    const wide = Math.min(all.length, Math.max(3, Math.ceil(all.length / 2)));
    const from = Math.round(((all.length - wide) * bar.intensity) / 5);
    const fresh = all.slice(from, from + wide).filter((pattern) => pattern !== last);
    last = fresh[variation(bar.chorus * 7 + bar.index, fresh.length)] ?? all[0];
    return last ?? [];
  });
}

function strike(
  notes: PerformedNote[],
  hit: Struck,
  voicing: Voicing | null | undefined,
  bar: PlayedBar,
  second: boolean,
): void {
  if (!voicing) return;
  const stress = metricWeight(bar.meter, hit.start - bar.start) >= 2 ? LOUDNESS.stress : 0;
  const touch = hit.pushed ? LOUDNESS.stress : variation(hit.start, 5) - 2;
  const loud = LOUDNESS.base + LOUDNESS.intensity * bar.intensity + stress + touch;
  const velocity = second ? loud - LOUDNESS.under : loud;
  const length = Math.max(1, Math.round(hit.length * SOUNDING));
  for (const pitch of voicing.pitches)
    notes.push({ start: hit.start, length, midi: midiOf(pitch), velocity });
}
