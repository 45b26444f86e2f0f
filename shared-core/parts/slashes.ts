import { barTicks, beatTicks, type Meter, type Ticks } from '../time/meter.ts';
import type { PartEvent, PartHarmony } from './model.ts';
import { type Stretch, soundingIn } from './timeline.ts';

/** One slash a counted beat; a bar that is no whole number of beats ends in a shorter one. */
export function slashes(meter: Meter, length: Ticks): PartEvent[] {
  const beat = beatTicks(meter);
  // A short first bar counts its beats back from the bar line.
  const lead = length < barTicks(meter) ? length % beat : 0;
  const events: PartEvent[] = [];
  if (lead > 0) events.push({ kind: 'slash', at: 0, length: lead });
  for (let at = lead; at < length; at += beat)
    events.push({ kind: 'slash', at, length: Math.min(beat, length - at) });
  return events;
}

/** A whole bar of rest. */
export function barRest(length: Ticks): PartEvent[] {
  return [{ kind: 'rest', at: 0, length }];
}

/**
 * Slashes with stemmed heads where a chord arrives off the beat: a rest or slash up to it, then the
 * head on the place itself, so that the push is seen where it is played.
 *
 * @param hits places (ticks in the bar) played as written
 */
export function slashesWithHits(meter: Meter, length: Ticks, hits: readonly Ticks[]): PartEvent[] {
  return slashes(meter, length).flatMap((slash): PartEvent[] => {
    const end = slash.at + slash.length;
    const inside = hits.filter((at) => at >= slash.at && at < end);
    if (inside.length === 0) return [slash];
    const events: PartEvent[] = [];
    const first = inside[0] ?? slash.at;
    if (first > slash.at) events.push({ kind: 'rest', at: slash.at, length: first - slash.at });
    inside.forEach((at, index) => {
      events.push({ kind: 'hit', at, length: (inside[index + 1] ?? end) - at, tied: false });
    });
    return events;
  });
}

/** Places where a chord arrives between the beats. */
export function offBeats(meter: Meter, chords: readonly PartHarmony[]): Ticks[] {
  return chords.map(({ at }) => at).filter((at) => at % beatTicks(meter) !== 0);
}

/** Heads only where chords begin, rests between: what `hits` asks for. */
export function hitsOnly(meter: Meter, length: Ticks, chords: readonly PartHarmony[]): PartEvent[] {
  const beat = beatTicks(meter);
  const events: PartEvent[] = [];
  let at = 0;
  for (const chord of chords) {
    if (chord.at > at) events.push({ kind: 'rest', at, length: chord.at - at });
    const next = chords.find((other) => other.at > chord.at)?.at ?? length;
    const held = Math.min(beat - (chord.at % beat), next - chord.at);
    events.push({ kind: 'hit', at: chord.at, length: held, tied: false });
    at = chord.at + held;
  }
  if (at < length) events.push({ kind: 'rest', at, length: length - at });
  return chords.length === 0 ? barRest(length) : events;
}

/** The same bar with rests where nothing is to be played (N.C.). */
export function silenced(
  events: readonly PartEvent[],
  band: Stretch,
  length: Ticks,
): readonly PartEvent[] {
  const sounding = soundingIn(band);
  if (!sounding.some(({ harmony }) => harmony.kind === 'none')) return events;
  if (sounding.every(({ harmony }) => harmony.kind === 'none') && sounding[0]?.at === 0)
    return barRest(length);
  return events.map((event) => {
    const held = sounding.findLast(({ at }) => at <= event.at);
    const silent = held?.harmony.kind === 'none';
    return silent ? { kind: 'rest', at: event.at, length: event.length } : event;
  });
}
