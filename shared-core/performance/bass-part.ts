import type { Chair } from '../arrangement/band.ts';
import { type BassBar, type BassManner, bassSlots, walkingLine } from '../bass/walk.ts';
import { lowestOf } from '../parts/walked.ts';
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
  const cuts = cutsFor(chair, stage);
  const bars = stage.bars.flatMap((bar) => piecesOf(bar, cuts, chair, stage));
  let at = 0;
  const slots = bassSlots(bars, stage.realisation.band);
  return walkingLine(slots, lowestOf(chair)).map(({ start, length, pitch }) => {
    while ((stage.bars[at + 1]?.start ?? Number.POSITIVE_INFINITY) <= start) at++;
    const bar = stage.bars[at];
    const downbeat = bar?.start === start ? LOUDNESS.downbeat : 0;
    return {
      start,
      length: Math.max(1, Math.round(length * SOUNDING)),
      midi: midiOf(pitch),
      velocity: LOUDNESS.base + LOUDNESS.intensity * (bar?.intensity ?? 0) + downbeat,
    };
  });
}

/** Where a direction of the chair begins or ends and where the last chord is struck, in order. */
function cutsFor(chair: Chair, stage: Stage): Ticks[] {
  const directed = stage.directions.flatMap((direction) =>
    direction.chair === chair.id ? [direction.at, direction.at + direction.length] : [],
  );
  const places = stage.ending ? [...directed, stage.ending.start] : directed;
  return [...new Set(places)].sort((a, b) => a - b);
}

/** A bar as one piece, or cut at the places that lie inside it. */
function piecesOf(bar: PlayedBar, cuts: readonly Ticks[], chair: Chair, stage: Stage): BassBar[] {
  const end = bar.start + bar.length;
  const beat = beatTicks(bar.meter);
  const starts = [bar.start, ...cuts.filter((at) => at > bar.start && at < end)];
  return starts.flatMap((start, index) => {
    const manner = mannerAt(start, chair, stage);
    if (!manner) return [];
    const gone = (start - bar.start) / beat;
    const strong = strongBeats(bar.meter).flatMap((at) => (at >= gone ? [at - gone] : []));
    return [
      {
        start,
        length: (starts[index + 1] ?? end) - start,
        beat,
        strong,
        manner,
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
