import type { Harmony } from '../chord/model.ts';
import type { Key } from '../pitch/key.ts';
import { barTicks, beatTicks, type Ticks } from '../time/meter.ts';
import { addressOf, barAt } from '../tune/address.ts';
import type { Chorus, FormBar } from '../tune/model.ts';
import { CLASS, type HeardChord, heard } from './facts.ts';
import type { SpanPlace, StaticSpan } from './model.ts';

/** At this tempo and slower, one bar of a chord is already long (counted beats a minute; an estimate of the trade). */
export const SLOW_TEMPO = 80;

/** Bars from which a held chord is a vamp rather than a phrase. */
const VAMP_BARS = 8;

/** A held stretch by written chords: `first` .. `last`, `last` past the list when it runs around the end. */
interface Held {
  readonly first: number;
  readonly last: number;
}

/**
 * The stretches that stand still: one root and one kind of chord for a bar or more, taken across bar
 * lines, section ends, and from the end of the form into its top. `Cmaj7`, `C6` and `C/E` are one
 * stretch; `C` then `C7` are two, and so are `C7sus4` and `C7`.
 *
 * @param keys key of each written chord
 * @param tempo counted beats a minute; null counts as faster than {@link SLOW_TEMPO}
 */
export function spansOf(chorus: Chorus, keys: readonly Key[], tempo: number | null): StaticSpan[] {
  const spans: StaticSpan[] = [];
  const sectionStarts = chorus.bars.filter((bar) => bar.startsSection);
  for (const held of heldStretches(chorus)) {
    const span = spanOf(chorus, keys, held, tempo, sectionStarts);
    if (span !== null) spans.push(span);
  }
  return spans.sort((a, b) => a.start - b.start);
}

/**
 * Groups the written chords. Where the group at the end goes on at the top, the two are one group; the
 * group at the top also stands by itself, because the first chorus has nothing before it.
 */
function heldStretches(chorus: Chorus): Held[] {
  const sounds = chorus.harmony.map(({ harmony }) => heard(harmony));
  const groups: Held[] = [];
  let first = 0;
  for (let index = 1; index <= sounds.length; index += 1) {
    if (index < sounds.length && holds(sounds[index - 1], sounds[index])) continue;
    groups.push({ first, last: index - 1 });
    first = index;
  }
  const head = groups[0];
  const tail = groups[groups.length - 1];
  const around = head && tail && head !== tail && holds(sounds[tail.last], sounds[0]);
  if (!around) return groups;
  const joined = { first: tail.first, last: tail.last + 1 + head.last };
  return [...groups.slice(0, -1), joined];
}

/** Kinds that may stand for one another while a chord is held. */
function holds(a: HeardChord | undefined, b: HeardChord | undefined): boolean {
  if (!a || !b || a.root < 0 || a.root !== b.root) return false;
  return a.class === b.class || bothHome(a.class, b.class);
}

/** Major triad with maj7 or 6; minor triad with m7 or with m6 (but m7 against m6 is a moving line). */
function bothHome(a: number, b: number): boolean {
  const low = Math.min(a, b);
  const high = Math.max(a, b);
  if (low === CLASS.maj) return high === CLASS.maj7;
  return low === CLASS.min && (high === CLASS.min7 || high === CLASS.min6);
}

function spanOf(
  chorus: Chorus,
  keys: readonly Key[],
  held: Held,
  tempo: number | null,
  sectionStarts: readonly FormBar[],
): StaticSpan | null {
  const total = chorus.harmony.length;
  const opening = chorus.harmony[held.first];
  const key = keys[held.first];
  if (!opening || !key || opening.harmony.kind === 'none') return null;
  let length = 0;
  for (let i = held.first; i <= held.last; i += 1) length += chorus.harmony[i % total]?.length ?? 0;
  const bar = barAt(chorus, opening.start);
  const { bar: startBar, beat: startBeat } = addressOf(chorus, opening.start);
  const beats = length / beatTicks(bar.meter);
  const bars = barsIn(bar, length);
  if (bars < 1) return null;
  const whole = held.last - held.first + 1 >= total;
  return {
    id: spanId(startBar, startBeat, beats),
    startBar,
    startBeat,
    start: opening.start,
    length,
    beats,
    stretch: bars >= 2 || (tempo !== null && tempo <= SLOW_TEMPO),
    harmony: longestHarmony(chorus, held),
    localKey: key,
    firstChord: held.first,
    next: whole ? null : (held.last + 1) % total,
    previous: whole ? null : (held.first + total - 1) % total,
    places: placesOf(chorus, opening.start, length, bars, sectionStarts),
    sectionStarts: startsBetween(chorus, sectionStarts, opening.start, opening.start + length),
  };
}

/** Id from the place alone: `b5.1x8` is bar 5, beat 1, eight beats. */
export function spanId(bar: number, beat: number, beats: number): string {
  return `b${bar}.${tidy(beat)}x${tidy(beats)}`;
}

function tidy(value: number): string {
  return String(Math.round(value * 1000) / 1000);
}

/** Bars of the first bar's own meter that a length fills. */
function barsIn(bar: FormBar, length: Ticks): number {
  return length / barTicks(bar.meter);
}

/** The harmony that sounds longest in the stretch; the first of equals. */
function longestHarmony(chorus: Chorus, held: Held): Harmony {
  const total = chorus.harmony.length;
  const lengths = new Map<string, { harmony: Harmony; length: number }>();
  for (let i = held.first; i <= held.last; i += 1) {
    const event = chorus.harmony[i % total];
    if (!event || event.harmony.kind === 'none') continue;
    const name = `${event.harmony.quality.suffix}/${event.harmony.bass ?? ''}`;
    const entry = lengths.get(name) ?? { harmony: event.harmony, length: 0 };
    entry.length += event.length;
    lengths.set(name, entry);
  }
  let best: { harmony: Harmony; length: number } | null = null;
  for (const entry of lengths.values())
    if (best === null || entry.length > best.length) best = entry;
  return best?.harmony ?? { kind: 'none' };
}

/** The section starts at `from` or later and before `to`; `to` lies at most one chorus past the end. */
function startsBetween(
  chorus: Chorus,
  sectionStarts: readonly FormBar[],
  from: Ticks,
  to: Ticks,
): Ticks[] {
  const ticks: Ticks[] = [];
  const around = sectionStarts.length;
  for (let index = firstFrom(sectionStarts, from); index < 2 * around; index += 1) {
    const turn = index < around ? 0 : chorus.length;
    const at = (sectionStarts[index % around]?.start ?? 0) + turn;
    if (at >= to) break;
    ticks.push(at);
  }
  return ticks;
}

/** Index of the first section that starts at a place or later, found by halving. */
function firstFrom(sectionStarts: readonly FormBar[], place: Ticks): number {
  let low = 0;
  let high = sectionStarts.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sectionStarts[middle]?.start ?? 0) < place) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Why the stretch is a good place to move. */
function placesOf(
  chorus: Chorus,
  start: Ticks,
  length: Ticks,
  bars: number,
  sectionStarts: readonly FormBar[],
): SpanPlace[] {
  const end = start + length;
  const top = chorus.bars.find((bar) => bar.number > 0)?.start ?? 0;
  const places: SpanPlace[] = [];
  const turns = startsBetween(
    chorus,
    sectionStarts,
    start + 1,
    Math.min(end, chorus.length - 1) + 1,
  );
  const following = end < chorus.length ? sectionStarts[firstFrom(sectionStarts, end)] : undefined;
  if (start <= top || end > chorus.length) places.push('top-of-form');
  if (end >= chorus.length) places.push('end-of-form');
  if (following?.start === end && isNewLabel(chorus, following)) places.push('before-section');
  if (turns.length > 0 || end >= chorus.length) places.push('section-end');
  if (bars >= VAMP_BARS) places.push('vamp');
  return places.length === 0 ? ['mid-section'] : places;
}

function isNewLabel(chorus: Chorus, bar: FormBar): boolean {
  return chorus.bars[bar.index - 1]?.label !== bar.label;
}
