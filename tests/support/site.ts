import type { Analysis, ChordReading, StaticSpan } from '../../shared-core/analysis/model.ts';
import { NO_CHORD } from '../../shared-core/chord/build.ts';
import type { Chord, Harmony } from '../../shared-core/chord/model.ts';
import { parseChord } from '../../shared-core/chord/parse.ts';
import { sameChord } from '../../shared-core/chord/same.ts';
import type { Change, Rewrite, Site } from '../../shared-core/devices/model.ts';
import { symbol } from '../../shared-core/devices/sound.ts';
import { type Key, parseKey } from '../../shared-core/pitch/key.ts';
import {
  barTicks,
  beatsPerBar,
  beatTicks,
  type Meter,
  parseMeter,
} from '../../shared-core/time/meter.ts';
import type { FormBar } from '../../shared-core/tune/model.ts';

/**
 * Builds device sites by hand from bars in plain text, without reading or analysing a tune: what the
 * tests of devices stand on.
 */

/** A chord from its symbol; throws when it is not one. */
export function chordNamed(text: string): Chord {
  const read = parseChord(text);
  if (!read.ok || read.value.kind === 'none') throw new Error(`${text} is not a chord`);
  return read.value;
}

/** A key from its name; throws when it is not one. */
export function keyNamed(text: string): Key {
  const key = parseKey(text);
  if (key === null) throw new Error(`${text} is not a key`);
  return key;
}

/** A meter from its figures; throws when it is not one. */
export function meterNamed(text: string): Meter {
  const meter = parseMeter(text);
  if (meter === null) throw new Error(`${text} is not a meter`);
  return meter;
}

/** Ticks of the chords of one bar: one a beat when there are as many as beats, else shared evenly. */
function barChanges(tokens: readonly string[], meter: Meter, start: number): Change[] {
  const beats = beatsPerBar(meter);
  const step = tokens.length === beats ? beatTicks(meter) : barTicks(meter) / tokens.length;
  const changes: Change[] = [];
  tokens.forEach((token, i) => {
    const before = changes.at(-1);
    if (token === '/' && before !== undefined) {
      changes[changes.length - 1] = { ...before, length: before.length + step };
    } else {
      changes.push({ at: start + i * step, length: step, harmony: chordNamed(token) });
    }
  });
  return changes;
}

/** Changes of bars in plain text (`| Cmaj7 Fm6 | Cmaj7 |`), neighbours of one chord joined. */
export function changesOf(bars: string, meter: Meter): readonly Change[] {
  const texts = bars
    .split('|')
    .map((bar) => bar.trim())
    .filter((bar) => bar !== '');
  const changes: Change[] = [];
  texts.forEach((text, i) => {
    for (const change of barChanges(text.split(/\s+/u), meter, i * barTicks(meter))) {
      const before = changes.at(-1);
      if (before !== undefined && sameChord(before.harmony, change.harmony)) {
        changes[changes.length - 1] = { ...before, length: before.length + change.length };
      } else {
        changes.push(change);
      }
    }
  });
  return changes;
}

/** A site over whole bars, with what comes after; `keep` are ticks where a section starts. */
export function siteFrom(
  keyText: string,
  beforeBars: string,
  next: string | null,
  meterText = '4/4',
  keep: readonly number[] = [],
): Site {
  const meter = meterNamed(meterText);
  const written = changesOf(beforeBars, meter);
  return siteOfChanges(
    keyNamed(keyText),
    written,
    next === null ? null : chordNamed(next),
    meter,
    keep,
  );
}

/** Ticks of a row of changes. */
const lengthOf = (changes: readonly Change[]): number =>
  changes.reduce((sum, change) => sum + change.length, 0);

/** The same from changes; the form goes on with the next chord for a bar and a bar of N.C. Without a next chord it leads back to its first. */
export function siteOfChanges(
  key: Key,
  written: readonly Change[],
  next: Chord | null,
  meter: Meter,
  keep: readonly number[] = [],
): Site {
  const held = written[0]?.harmony;
  if (held === undefined || held.kind === 'none') throw new Error('A site starts with a chord');
  const after = next ?? held;
  const length = lengthOf(written);
  const span = spanOf(key, held, length, meter, keep);
  return {
    analysis: analysisOf(key, written, after, meter, span),
    span,
    held,
    written,
    key,
    next: after,
    previous: after,
    meter,
    bars: formOf(Math.ceil(length / barTicks(meter)), meter),
    length,
    keep,
    melody: [],
  };
}

/** Bars of one section. */
function formOf(count: number, meter: Meter): readonly FormBar[] {
  const length = barTicks(meter);
  return Array.from({ length: count }, (_, i) => ({
    index: i,
    number: i + 1,
    section: 0,
    writtenBar: i,
    label: 'A',
    startsSection: i === 0,
    meter,
    start: i * length,
    length,
  }));
}

function spanOf(
  key: Key,
  held: Chord,
  length: number,
  meter: Meter,
  keep: readonly number[],
): StaticSpan {
  const beats = length / beatTicks(meter);
  return {
    id: `b1.1x${beats}`,
    startBar: 1,
    startBeat: 1,
    start: 0,
    length,
    beats,
    stretch: true,
    harmony: held,
    localKey: key,
    firstChord: 0,
    next: 1,
    previous: 1,
    places: ['mid-section'],
    sectionStarts: keep,
  };
}

function analysisOf(
  key: Key,
  written: readonly Change[],
  after: Chord,
  meter: Meter,
  span: StaticSpan,
): Analysis {
  const bar = barTicks(meter);
  const length = lengthOf(written);
  const form = formOf(Math.ceil(length / bar) + 2, meter);
  const changes: readonly Change[] = [
    ...written,
    { at: length, length: bar, harmony: after },
    { at: length + bar, length: bar, harmony: NO_CHORD },
  ];
  const harmony = changes.map(({ at, length: ticks, harmony: chord }) => ({
    start: at,
    length: ticks,
    harmony: chord,
  }));
  return {
    key,
    keyInferred: false,
    formType: null,
    chorus: { bars: form, harmony, melody: [], length: length + 2 * bar },
    chords: readingsOf(key, changes, meter),
    spans: [span],
    cadences: [],
  };
}

/** Chord readings of changes in one key, as the analysis would hand them to a recogniser. */
export function readingsOf(
  key: Key,
  changes: readonly Change[],
  meter: Meter,
): readonly ChordReading[] {
  const bar = barTicks(meter);
  return changes.map((change, index) => ({
    index,
    start: change.at,
    length: change.length,
    bar: Math.floor(change.at / bar) + 1,
    beat: (change.at % bar) / beatTicks(meter) + 1,
    harmony: change.harmony,
    localKey: key,
    roman: '',
    function: 'none' as const,
    prepares: null,
    device: null,
  }));
}

/** Changes in words, for messages: `0 Cmaj7, 1920 Fm6`. */
export function wordsOf(changes: readonly Change[]): string {
  return changes.map((change) => `${change.at} ${nameOfHarmony(change.harmony)}`).join(', ');
}

function nameOfHarmony(harmony: Harmony): string {
  return harmony.kind === 'none' ? 'N.C.' : symbol(harmony);
}

/** Whether two rows of changes sound the same at the same places, respelling aside. */
export function sameSounding(a: readonly Change[], b: readonly Change[]): boolean {
  if (a.length !== b.length) return false;
  return a.every((change, i) => {
    const other = b[i];
    return (
      other !== undefined &&
      change.at === other.at &&
      change.length === other.length &&
      soundOf(change.harmony) === soundOf(other.harmony)
    );
  });
}

function soundOf(harmony: Harmony): string {
  if (harmony.kind === 'none') return '-';
  const pc = (spelledPc: number): number => (((spelledPc * 7) % 12) + 12) % 12;
  const bass = harmony.bass === null ? '' : `/${pc(harmony.bass)}`;
  return `${pc(harmony.root)}${harmony.quality.suffix}${bass}`;
}

/** The rewrite among these that sounds like the wanted changes. */
export function find(rewrites: readonly Rewrite[], wanted: readonly Change[]): Rewrite | undefined {
  return rewrites.find((rewrite) => sameSounding(rewrite.changes, wanted));
}
