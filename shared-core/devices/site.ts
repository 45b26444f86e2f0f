import type { Analysis, StaticSpan } from '../analysis/model.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { lastStartingBy } from '../time/halving.ts';
import type { Ticks } from '../time/meter.ts';
import type { FormBar, TimedNote } from '../tune/model.ts';
import type { Change, Site } from './model.ts';
import { spanOver, stretchesOf } from './stretch.ts';

/**
 * Everything the devices need to know about one static span, with times counted from its own start, also
 * where the span runs past the form's end into its top. Null when the span holds no chord (N.C.).
 *
 * A form that is one chord throughout leads back to itself: its `next` and `previous` are the held chord.
 */
export function siteOf(analysis: Analysis, span: StaticSpan): Site | null {
  if (span.harmony.kind === 'none') return null;
  const written: Change = { at: 0, length: span.length, harmony: span.harmony };
  return siteOn(analysis, span, span.harmony, [written]);
}

/**
 * Every place where the engine may propose: one site a static span that holds a chord, and the stretches
 * of several chords that have answers of their own (see `stretch.ts`), in order of start, each with a
 * span id of its own (`b5.1x8` static, `s5.1x8` stretch).
 */
export function sitesOf(analysis: Analysis): readonly Site[] {
  const sites: Site[] = [];
  for (const span of analysis.spans) {
    const site = siteOf(analysis, span);
    if (site !== null) sites.push(site);
  }
  for (const stretch of stretchesOf(analysis)) {
    sites.push(siteOn(analysis, stretch.span, stretch.held, stretch.written));
  }
  return sites.sort((a, b) => a.span.start - b.span.start || (a.span.id < b.span.id ? -1 : 1));
}

/**
 * A site over chords `first` to `last` as if `written` stood there; section starts bind nothing. Used to
 * ask a device whether it wrote what stands there.
 */
export function siteOver(
  analysis: Analysis,
  first: number,
  last: number,
  written: readonly Change[],
): Site | null {
  const span = spanOver(analysis, first, last);
  const held = written[0]?.harmony;
  if (span === null || held === undefined || held.kind === 'none') return null;
  return siteOn(analysis, { ...span, harmony: held, sectionStarts: [] }, held, written);
}

/** Whether a site reaches to the end of the form. */
export function endsForm(site: Site): boolean {
  return site.span.places.includes('end-of-form');
}

function siteOn(
  analysis: Analysis,
  span: StaticSpan,
  held: Chord,
  written: readonly Change[],
): Site {
  const { chorus } = analysis;
  const bars = barsUnder(chorus.bars, chorus.length, span.start, span.length);
  return {
    analysis,
    span,
    held,
    written,
    key: span.localKey,
    next: chordOf(analysis, span.next, held),
    previous: chordOf(analysis, span.previous, held),
    meter: bars[0]?.meter ?? { count: 4, unit: 4 },
    bars,
    length: span.length,
    keep: span.sectionStarts.map((at) => relative(at, span.start, chorus.length)),
    melody: melodyUnder(chorus.melody, chorus.length, span.start, span.length),
  };
}

function chordOf(analysis: Analysis, index: number | null, held: Chord): Chord | null {
  if (index === null) return held;
  const harmony: Harmony | undefined = analysis.chords[index]?.harmony;
  return harmony === undefined || harmony.kind === 'none' ? null : harmony;
}

/** A chorus tick from a span's start, going round the form's end. */
function relative(at: Ticks, start: Ticks, chorusLength: Ticks): Ticks {
  return at < start ? at + chorusLength - start : at - start;
}

/** Bars that share time with the span, starts counted from the span's start (the first may be negative). */
function barsUnder(
  bars: readonly FormBar[],
  chorusLength: Ticks,
  start: Ticks,
  length: Ticks,
): readonly FormBar[] {
  const found: FormBar[] = [];
  for (const turn of [0, chorusLength]) {
    if (turn > 0 && start + length <= chorusLength) break;
    for (let i = turn === 0 ? lastStartingBy(bars, start) : 0; i < bars.length; i += 1) {
      const bar = bars[i];
      if (bar === undefined) break;
      const at = bar.start + turn - start;
      if (at >= length) break;
      if (at + bar.length > 0) found.push({ ...bar, start: at });
    }
  }
  return found;
}

/** Melody notes that sound inside the span, clipped to it. */
function melodyUnder(
  melody: readonly TimedNote[],
  chorusLength: Ticks,
  start: Ticks,
  length: Ticks,
): readonly TimedNote[] {
  const found: TimedNote[] = [];
  for (const turn of [0, chorusLength]) {
    if (turn > 0 && start + length <= chorusLength) break;
    for (let i = turn === 0 ? lastStartingBy(melody, start) : 0; i < melody.length; i += 1) {
      const note = melody[i];
      if (note === undefined) break;
      const at = note.start + turn - start;
      if (at >= length) break;
      const from = Math.max(0, at);
      const to = Math.min(length, at + note.length);
      if (to > from) found.push({ start: from, length: to - from, pitch: note.pitch });
    }
  }
  return found;
}
