import type { Chair } from '../arrangement/band.ts';
import { type BassBar, type BassManner, bassSlots, walkingLine } from '../bass/walk.ts';
import { midiOf } from '../pitch/spelled.ts';
import { beatTicks, strongBeats } from '../time/meter.ts';
import type { PerformedNote } from './model.ts';
import type { PlayedBar, Stage } from './stage.ts';

const LOUDNESS = { base: 70, intensity: 3, downbeat: 4 } as const;
/** Part of a beat a walked note sounds: long, with a breath before the next. */
const SOUNDING = 0.92;

/**
 * The bass chair: the line of `bass/` in the manner of the feel, or of what the leader directs for a
 * stretch (walk, two-feel, pedal, lay out).
 */
export function performBass(chair: Chair, stage: Stage): PerformedNote[] {
  const bars = stage.bars.map((bar) => bassBar(bar, chair, stage)).filter((bar) => bar !== null);
  const downbeats = new Map(stage.bars.map((bar) => [bar.start, bar]));
  let intensity = 0;
  return walkingLine(bassSlots(bars, stage.realisation.band)).map(({ start, length, pitch }) => {
    const bar = downbeats.get(start);
    if (bar) intensity = bar.intensity;
    const velocity = LOUDNESS.base + LOUDNESS.intensity * intensity + (bar ? LOUDNESS.downbeat : 0);
    return {
      start,
      length: Math.max(1, Math.round(length * SOUNDING)),
      midi: midiOf(pitch),
      velocity,
    };
  });
}

function bassBar(bar: PlayedBar, chair: Chair, stage: Stage): BassBar | null {
  const directed = stage.directions.find(
    (direction) =>
      direction.chair === chair.id &&
      bar.start >= direction.at &&
      bar.start < direction.at + direction.length,
  );
  if (directed?.words === 'lay out') return null;
  const manner: BassManner =
    directed?.words === 'walk' || directed?.words === 'two-feel' || directed?.words === 'pedal'
      ? directed.words
      : stage.feel.bass;
  const strong = strongBeats(bar.meter);
  return { start: bar.start, length: bar.length, beat: beatTicks(bar.meter), strong, manner };
}
