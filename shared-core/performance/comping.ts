import type { Chair } from '../arrangement/band.ts';
import type { Chord } from '../chord/model.ts';
import { midiOf } from '../pitch/spelled.ts';
import { beatTicks, metricWeight, type Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';
import type { Voicing } from '../voicing/model.ts';
import { voicePath } from '../voicing/path.ts';
import type { PerformedNote } from './model.ts';
import { compingPatterns } from './patterns.ts';
import type { PlayedBar, Stage } from './stage.ts';

/** Loudness of comping at intensity 0, what each step of intensity adds, and what a strong beat adds. */
const LOUDNESS = { base: 52, intensity: 4, stress: 3 } as const;
/** Part of its written length that a comped chord sounds: short enough to dance. */
const SOUNDING = 0.9;

/**
 * A comping chair: voicings of the band's changes in the rhythm of the feel. Every change is heard, silence
 * (N.C.) is silent, a chord is struck again when the pattern says so and never rings into the next. The
 * second comping chair plays under the first: changes only, held and softer. Deterministic: which pattern a
 * bar takes follows from its place alone.
 */
export function performComping(chair: Chair, stage: Stage): PerformedNote[] {
  const compers = stage.chairs.filter((other) => other.role === 'comping');
  const second = compers.findIndex((other) => other.id === chair.id) > 0;
  const events = stage.realisation.band;
  const voicings = voicingsFor(chair, stage, events);
  const notes: PerformedNote[] = [];
  let event = 0;
  for (const bar of stage.bars) {
    while ((events[event + 1]?.start ?? Number.POSITIVE_INFINITY) <= bar.start) event++;
    for (const hit of hitsOf(bar, stage, events, event, second)) {
      if (laysOut(chair, stage, hit.start)) continue;
      strike(notes, hit, voicings, events, bar, second);
    }
  }
  return notes;
}

interface Struck {
  readonly start: Ticks;
  readonly length: Ticks;
  /** Index of the band event struck. */
  readonly event: number;
}

function voicingsFor(
  chair: Chair,
  stage: Stage,
  events: readonly TimedHarmony[],
): (Voicing | null)[] {
  const chords = events.map(({ harmony }): Chord | null =>
    harmony.kind === 'chord' ? harmony : null,
  );
  const guitar = chair.instrument.includes('guitar');
  return voicePath(chords, { instrument: guitar ? 'guitar' : 'piano', withBass: stage.withBass });
}

/** The hits of one bar: the pattern's, cut at changes, and one for every change no pattern hit says. */
function hitsOf(
  bar: PlayedBar,
  stage: Stage,
  events: readonly TimedHarmony[],
  first: number,
  second: boolean,
): Struck[] {
  const end = bar.start + bar.length;
  const starts = second ? [] : patternStarts(bar, stage);
  const hits: Struck[] = [];
  for (let index = first; (events[index]?.start ?? end) < end; index++) {
    const event = events[index];
    if (event?.harmony.kind !== 'chord') continue;
    const from = Math.max(event.start, bar.start);
    const to = Math.min(event.start + event.length, end);
    const inside = starts.filter(({ at }) => at >= from && at < to);
    const changes = event.start >= bar.start;
    const struck = inside.length === 0 && (changes || second) ? [{ at: from, until: to }] : inside;
    for (const { at, until } of struck)
      hits.push({ start: at, length: Math.min(until, to) - at, event: index });
  }
  return hits;
}

function patternStarts(bar: PlayedBar, stage: Stage): { at: Ticks; until: Ticks }[] {
  const patterns = compingPatterns(stage.feel.name, bar.meter);
  const half = beatTicks(bar.meter) / 2;
  const pattern = patterns[choice(bar.chorus * 7 + bar.index, patterns.length)] ?? [];
  return pattern
    .map(({ at, length }) => ({
      at: bar.start + at * half,
      until: bar.start + (at + length) * half,
    }))
    .filter(({ at }) => at < bar.start + bar.length);
}

/** A fixed, well-mixed choice of a pattern for a place: same place, same pattern, no bar like the last. */
function choice(place: number, among: number): number {
  return ((place * 2654435761) >>> 8) % among;
}

function laysOut(chair: Chair, stage: Stage, at: Ticks): boolean {
  return stage.directions.some(
    (direction) =>
      direction.chair === chair.id &&
      direction.words === 'lay out' &&
      at >= direction.at &&
      at < direction.at + direction.length,
  );
}

function strike(
  notes: PerformedNote[],
  hit: Struck,
  voicings: readonly (Voicing | null)[],
  events: readonly TimedHarmony[],
  bar: PlayedBar,
  second: boolean,
): void {
  const voicing = voicings[hit.event];
  if (!voicing || !events[hit.event]) return;
  const stress = metricWeight(bar.meter, hit.start - bar.start) >= 2 ? LOUDNESS.stress : 0;
  const velocity = LOUDNESS.base + LOUDNESS.intensity * bar.intensity + stress - (second ? 12 : 0);
  const length = Math.max(1, Math.round(hit.length * SOUNDING));
  for (const pitch of voicing.pitches)
    notes.push({ start: hit.start, length, midi: midiOf(pitch), velocity });
}
