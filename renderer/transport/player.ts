import type { Performance, PerformedTrack } from '../../shared-core/performance/model.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';
import {
  type Anchor,
  endOfPass,
  eventsBetween,
  lineUp,
  placeInStretch,
  type Stretch,
  secondsPerTick,
} from './schedule.ts';
import type { Sound } from './sound.ts';

/** Seconds ahead of the audio clock that notes are handed over. */
const AHEAD = 0.15;
/** A gap in the ticks longer than this (a sleeping machine) moves the music instead of swallowing notes. */
const GAP = 0.25;

/** A performance that sounds. */
export interface Run {
  /** Where it stands in the performance; null before the first sound and after the end. */
  position(): Ticks | null;
  setTempo(quarterBpm: number): void;
  /** On: goes round until told otherwise. Off: ends after this time round. */
  setLoop(loop: boolean): void;
  stop(): void;
}

/** What a run asks while it goes on. */
export interface RunOptions {
  readonly stretch: Stretch;
  readonly quarterBpm: number;
  readonly loop: boolean;
  /** Asked for every note, so that muting a chair works while it plays. */
  readonly muted: (chair: string) => boolean;
  readonly onEnd: () => void;
}

/** Plays a stretch of a performance on the audio clock. The sound must have been prepared for it. */
export function startRun(sound: Sound, performance: Performance, options: RunOptions): Run {
  const { stretch, muted, onEnd } = options;
  const notes = lineUp(performance);
  const tracks = new Map<string, PerformedTrack>(
    performance.tracks.map((track) => [track.chair, track]),
  );
  let anchor: Anchor = { at: sound.wake(), tick: 0, spt: secondsPerTick(options.quarterBpm) };
  let done: Ticks = 0;
  /** Running tick count at which it ends; null goes round for ever. */
  let end: Ticks | null = options.loop ? null : endOfPass(stretch, 0);
  let ended = false;

  const runAt = (second: number) => anchor.tick + (second - anchor.at) / anchor.spt;

  function advance(): void {
    const { now } = sound;
    const late = now - (anchor.at + (done - anchor.tick) * anchor.spt);
    if (late > GAP) anchor = { at: now + 0.05, tick: done, spt: anchor.spt };
    const ahead = Math.floor(runAt(now + AHEAD));
    const until = end === null ? ahead : Math.min(ahead, end);
    for (const event of eventsBetween(notes, stretch, anchor, done, until)) {
      const track = tracks.get(event.chair);
      if (track && !muted(event.chair)) sound.play(track, event.note, event.at, event.seconds);
    }
    done = Math.max(done, until);
    if (end !== null && runAt(now) >= end) finish();
  }

  function finish(): void {
    if (ended) return;
    ended = true;
    ticker.terminate();
    onEnd();
  }

  const ticker = new Worker(new URL('./tick-worker.ts', import.meta.url), { type: 'module' });
  ticker.onmessage = advance;
  advance();

  return {
    position() {
      const run = runAt(sound.now);
      return ended || run < 0 ? null : placeInStretch(stretch, Math.floor(run));
    },
    setTempo(quarterBpm) {
      // What was handed over sounds at the old tempo; the new one begins where that ends.
      anchor = {
        at: anchor.at + (done - anchor.tick) * anchor.spt,
        tick: done,
        spt: secondsPerTick(quarterBpm),
      };
    },
    setLoop(loop) {
      end = loop ? null : endOfPass(stretch, Math.max(0, Math.floor(runAt(sound.now))));
    },
    stop() {
      sound.hush();
      finish();
    },
  };
}
