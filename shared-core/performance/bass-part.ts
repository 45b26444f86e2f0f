import type { Chair } from '../arrangement/band.ts';
import { type BassBar, type BassManner, bassSlots, walkingLine } from '../bass/walk.ts';
import { midiOf } from '../pitch/spelled.ts';
import { beatTicks, strongBeats, type Ticks } from '../time/meter.ts';
import type { PerformedNote } from './model.ts';
import { type PlayedBar, type Stage, wordsAt } from './stage.ts';

const LOUDNESS = { base: 70, intensity: 3, downbeat: 4 } as const;
/** Part of a beat a walked note sounds: long, with a breath before the next. */
const SOUNDING = 0.92;

/**
 * The bass chair: the line of `bass/` in the manner of the feel, or of what the leader directs for a
 * stretch: walk, two-feel, pedal, lay out, hits (the changes alone). The last chord of all is held on its root.
 */
export function performBass(chair: Chair, stage: Stage): PerformedNote[] {
  const bars = stage.bars.flatMap((bar) => piecesOf(bar, chair, stage));
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

/** A bar as one piece, or cut where a direction begins or ends inside it and where the last chord is struck. */
function piecesOf(bar: PlayedBar, chair: Chair, stage: Stage): BassBar[] {
  const end = bar.start + bar.length;
  const inside = stage.directions
    .filter((direction) => direction.chair === chair.id)
    .flatMap(({ at, length }) => [at, at + length])
    .concat(stage.ending ? [stage.ending.start] : [])
    .filter((at) => at > bar.start && at < end);
  const starts = [...new Set([bar.start, ...inside])].sort((a, b) => a - b);
  return starts.flatMap((start, index) => {
    const manner = mannerAt(start, chair, stage);
    if (!manner) return [];
    const beat = beatTicks(bar.meter);
    const gone = (start - bar.start) / beat;
    const strong = strongBeats(bar.meter).flatMap((at) => (at >= gone ? [at - gone] : []));
    return [
      {
        start,
        length: (starts[index + 1] ?? end) - start,
        beat,
        strong,
        manner,
        variety: bar.chorus % 4,
      },
    ];
  });
}

function mannerAt(at: Ticks, chair: Chair, stage: Stage): BassManner | null {
  const words = wordsAt(stage, chair.id, at);
  if (words === 'lay out') return null;
  if (stage.ending && at >= stage.ending.start) return 'pedal';
  if (words === 'walk' || words === 'two-feel' || words === 'pedal') return words;
  return words === 'hits' ? 'roots' : stage.feel.bass;
}
