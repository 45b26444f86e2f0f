import type { Performance, PerformedNote } from '../../shared-core/performance/model.ts';
import { TICKS_PER_QUARTER, type Ticks } from '../../shared-core/time/meter.ts';

/** What is played of a performance. Ticks of the performance's own timeline. */
export interface Stretch {
  readonly from: Ticks;
  readonly to: Ticks;
  /** Where it begins again when it goes round. */
  readonly again: Ticks;
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

/** Ticks of every time round but the first. */
function turn(stretch: Stretch): Ticks {
  return stretch.to - stretch.again;
}

/** Where a running tick count stands in the stretch: ticks count on from `from` through every repeat. */
export function placeInStretch(stretch: Stretch, run: Ticks): Ticks {
  const at = stretch.from + run;
  return at < stretch.to ? at : stretch.again + ((at - stretch.to) % turn(stretch));
}

/** The running tick count at which the time round that `run` stands in is over. */
export function endOfPass(stretch: Stretch, run: Ticks): Ticks {
  const first = stretch.to - stretch.from;
  if (run < first) return first;
  return first + (Math.floor((run - first) / turn(stretch)) + 1) * turn(stretch);
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
 * The notes of a stretch that goes round for ever that start in [from, to) of the running tick count, with their seconds on the audio clock.
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
