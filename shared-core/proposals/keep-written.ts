import type { Harmony } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import type { Change, Site } from '../devices/model.ts';
import type { Ticks } from '../time/meter.ts';

/** A written chord inside a site; ticks from the site's start. */
export interface Written {
  readonly at: Ticks;
  readonly length: Ticks;
  readonly harmony: Harmony;
}

/**
 * What is written inside a site where it is written in more than one way (Bbmaj7 for two bars, then Bb6);
 * null where all of it is the held chord in one way, and there is nothing to keep.
 */
export function writtenWays(site: Site): readonly Written[] | null {
  const written = writtenIn(site);
  return written.every(({ harmony }) => sameChord(harmony, site.held)) ? null : written;
}

/**
 * Gives the home chord of a rewrite back in the very words of the page: where a rewrite rests at home, what
 * is written there stays as it is, and only what moves is new.
 */
export function keepWritten(
  site: Site,
  written: readonly Written[],
  changes: readonly Change[],
): readonly Change[] {
  return changes.flatMap((change) =>
    change.harmony === site.held ? asWritten(change, written) : [change],
  );
}

function writtenIn(site: Site): Written[] {
  const { chords, chorus } = site.analysis;
  const { span } = site;
  const found: Written[] = [];
  for (let step = 0, at = 0; step < chords.length && at < span.length; step++) {
    const reading = chords[(span.firstChord + step) % chords.length];
    if (!reading) break;
    const turn = span.firstChord + step >= chords.length ? chorus.length : 0;
    const from = Math.max(0, reading.start + turn - span.start);
    const to = Math.min(span.length, reading.start + turn - span.start + reading.length);
    if (to > from) found.push({ at: from, length: to - from, harmony: reading.harmony });
    at = to;
  }
  return found;
}

function asWritten(change: Change, written: readonly Written[]): Change[] {
  const end = change.at + change.length;
  const pieces: Change[] = [];
  for (const { at, length, harmony } of written) {
    const from = Math.max(at, change.at);
    const to = Math.min(at + length, end);
    const last = pieces.at(-1);
    if (to <= from) continue;
    if (last && sameChord(last.harmony, harmony)) {
      pieces[pieces.length - 1] = { ...last, length: last.length + to - from };
    } else pieces.push({ at: from, length: to - from, harmony });
  }
  return pieces;
}
