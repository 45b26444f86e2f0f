import type { Performance, PerformedNote } from '../../shared-core/performance/model.ts';
import { TICKS_PER_QUARTER, type Ticks } from '../../shared-core/time/meter.ts';

/** What is played of a performance. Ticks of the performance's own timeline. */
export interface Stretch {
  readonly from: Ticks;
  readonly to: Ticks;
  /** Played again from here for ever; null plays once. */
  readonly again: Ticks | null;
}

/** A note with the second of the audio clock at which it sounds. */
export interface TimedEvent {
  readonly chair: string;
  readonly note: PerformedNote;
  readonly at: number;
  readonly seconds: number;
}

/** Ties musical time to the audio clock: tick `tick` sounds at second `at`, `spt` seconds a tick. */
export interface Anchor {
  readonly at: number;
  readonly tick: Ticks;
  readonly spt: number;
}

/** Seconds a tick lasts at a tempo in quarters a minute. */
export function secondsPerTick(quarterBpm: number): number {
  return 60 / quarterBpm / TICKS_PER_QUARTER;
}

/** Length of the whole run in ticks when played once through. */
function turn(stretch: Stretch): Ticks {
  return stretch.to - (stretch.again ?? stretch.from);
}

/**
 * Where a running tick count stands in the stretch: ticks count on from `from` through every repeat.
 * Null past the end of a stretch that is played once.
 */
export function placeInStretch(stretch: Stretch, run: Ticks): Ticks | null {
  const at = stretch.from + run;
  if (at < stretch.to) return at;
  if (stretch.again === null || turn(stretch) <= 0) return null;
  return stretch.again + ((at - stretch.to) % turn(stretch));
}

/** All notes of a performance in order of time, with their chairs. */
export function lineUp(
  performance: Performance,
): readonly { readonly chair: string; readonly note: PerformedNote }[] {
  return performance.tracks
    .flatMap((track) => track.notes.map((note) => ({ chair: track.chair, note })))
    .sort((a, b) => a.note.start - b.note.start);
}

/**
 * The notes that start in [from, to) of the running tick count, with their seconds on the audio clock.
 * A note that sounds past the end of the stretch is cut there, so that a loop does not smear.
 */
export function eventsBetween(
  notes: ReturnType<typeof lineUp>,
  stretch: Stretch,
  anchor: Anchor,
  from: Ticks,
  to: Ticks,
): readonly TimedEvent[] {
  const events: TimedEvent[] = [];
  for (let pass = 0; ; pass++) {
    const start = pass === 0 ? stretch.from : stretch.again;
    if (start === null) break;
    // Running tick count at which this pass begins.
    const began = pass === 0 ? 0 : stretch.to - stretch.from + (pass - 1) * turn(stretch);
    if (began >= to) break;
    const length = stretch.to - start;
    if (length <= 0) break;
    if (began + length <= from) continue;
    for (const { chair, note } of notes) {
      if (note.start < start) continue;
      if (note.start >= stretch.to) break;
      const run = began + note.start - start;
      if (run < from) continue;
      if (run >= to) break;
      const ends = Math.min(note.start + note.length, stretch.to);
      events.push({
        chair,
        note,
        at: anchor.at + (run - anchor.tick) * anchor.spt,
        seconds: (ends - note.start) * anchor.spt,
      });
    }
  }
  return events;
}
