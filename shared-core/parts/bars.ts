import type { Chair } from '../arrangement/band.ts';
import { chorusesInOrder } from '../arrangement/fold.ts';
import type { ArrangementState, Direction, Realisation } from '../arrangement/model.ts';
import { symbolOf } from '../chord/format.ts';
import type { Key } from '../pitch/key.ts';
import type { Chorus } from '../tune/model.ts';
import type { BarContent, BarDirection, BarPlace, StaffWriter } from './content.ts';
import { cuesOf } from './cues.ts';
import { entranceWords, laysOut } from './lay-out.ts';
import { pushIn } from './pushed.ts';
import { scaleNames } from './scale-names.ts';
import { barRest } from './slashes.ts';
import { type Stretch, sameSound, soundingIn, stretchOf } from './timeline.ts';
import type { VoicedLine } from './voiced.ts';

/** What the bars of a chair are made from: everything in its written pitch. */
export interface BarsInput {
  readonly chorus: Chorus;
  readonly state: ArrangementState;
  readonly realisation: Realisation;
  readonly chair: Chair;
  readonly writer: StaffWriter;
  /** What this chair is told of the others in a bar. */
  readonly told: (place: BarPlace) => readonly BarDirection[];
  /** Written key, for the names of scales. */
  readonly key: Key;
  /** Voicings to show; empty for none. */
  readonly voiced: VoicedLine;
  /** 0-based choruses that belong to other players, or in which this one lays out. */
  readonly others: ReadonlySet<number>;
  /** Whether those are only counted through, or show the band's changes over rests. */
  readonly countOthers: boolean;
  /** 0-based choruses that play the melody. */
  readonly heads: ReadonlySet<number>;
}

/** Every bar of every chorus as this chair reads it: `[chorus][bar]`. */
export function barsOf(input: BarsInput): readonly (readonly BarContent[])[] {
  const plans = chorusesInOrder(input.state);
  const directions = Object.values(input.state.directions).filter(
    (direction) => direction.chair === input.chair.id,
  );
  const begun = new Set<string>();
  return plans.map((plan, chorus) => {
    const own = directions
      .filter((direction) => direction.chorus === plan.id)
      .sort((a, b) => a.start - b.start || (a.id < b.id ? -1 : 1));
    return input.chorus.bars.map((bar) => {
      const start = chorus * input.chorus.length + bar.start;
      const band = stretchOf(input.realisation.band, start, bar.length);
      const solo = stretchOf(input.realisation.solo, start, bar.length);
      const pushed = pushIn(input.realisation.band, start, bar);
      const differs = !sameSound(band, solo);
      const place: BarPlace = { chorus, bar, start, band, solo, differs, pushed };
      if (input.others.has(chorus)) return otherBar(input, place);
      return contentOf(input, place, own, begun);
    });
  });
}

/** A bar of a chorus this chair does not play: nothing but its length, or the band's changes over a rest. */
function otherBar(
  { chair, countOthers: counted, heads, writer }: BarsInput,
  place: BarPlace,
): BarContent {
  const sung = chair.role === 'soloist' && heads.has(place.chorus);
  const melody = sung ? writer.events(place) : null;
  const band: Stretch = counted ? { chords: [], carried: null } : place.band;
  return {
    bar: place.bar,
    band,
    solo: null,
    events: barRest(place.bar.length),
    implied: false,
    cues: [],
    scales: [],
    directions: [],
    voicings: [],
    key: JSON.stringify(['rests', stretchKey(band)]),
    other: counted ? 'counted' : 'shown',
    heard: counted ? { band: place.band, melody } : null,
  };
}

function contentOf(
  input: BarsInput,
  place: BarPlace,
  directions: readonly Direction[],
  begun: Set<string>,
): BarContent {
  const { role } = input.chair;
  const drums = role === 'drums';
  const unseen: Stretch = { chords: [], carried: null };
  const band = drums ? unseen : role === 'soloist' ? backTogether(place) : place.band;
  const solo = role === 'soloist' && place.differs ? place.solo : null;
  const rests = laysOut(directions, place.bar);
  const events = rests ? barRest(place.bar.length) : input.writer.events(place);
  const cues =
    role === 'soloist' || drums ? [] : cuesOf(input.realisation, place, role === 'bass', begun);
  return {
    bar: place.bar,
    band,
    solo,
    events,
    implied: input.voiced.size === 0 && (input.writer.implied?.(events, place) ?? false),
    cues,
    scales: role === 'soloist' ? scaleNames(place, input.key) : [],
    directions: [
      ...directionsOf(input.writer, place, directions),
      ...entranceWords(input.chorus, directions, place.bar),
      ...input.told(place),
    ],
    voicings: band.chords.flatMap(({ at }) => {
      const voicing = input.voiced.get(place.start + at);
      return voicing ? [{ at, voicing }] : [];
    }),
    key: JSON.stringify([
      stretchKey(band),
      solo && stretchKey(solo),
      rests ? events : (input.writer.plain?.(place) ?? events),
    ]),
    other: null,
    heard: null,
  };
}

/**
 * What the band plays, said again where the soloist comes back to a chord the band has held all along:
 * else the chart would seem to go on with the soloist's last one.
 */
function backTogether({ band, solo, differs }: BarPlace): Stretch {
  const returns = !differs && solo.chords[0]?.at === 0 && band.chords[0]?.at !== 0;
  return returns ? { chords: soundingIn(band), carried: null } : band;
}

function stretchKey(stretch: Stretch): readonly unknown[] {
  return [
    stretch.carried && symbolOf(stretch.carried),
    stretch.chords.map(({ at, harmony }) => `${at} ${symbolOf(harmony)}`),
  ];
}

function directionsOf(
  writer: StaffWriter,
  place: BarPlace,
  directions: readonly Direction[],
): readonly BarDirection[] {
  const { bar } = place;
  const end = bar.start + bar.length;
  return directions
    .filter((direction) => direction.start < end && direction.start + direction.length > bar.start)
    .map((direction) => {
      const whole = direction.start <= bar.start && direction.start + direction.length >= end;
      return {
        at: Math.max(0, direction.start - bar.start),
        words: direction.words,
        begins: direction.start >= bar.start,
        lead: false,
        events: whole ? writer.under(direction.words, place) : null,
      };
    });
}
