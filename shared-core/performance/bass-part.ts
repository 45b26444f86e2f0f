import type { Chair } from '../arrangement/band.ts';
import {
  type BassBar,
  type BassManner,
  type BassNote,
  bassSlots,
  walkingLine,
} from '../bass/walk.ts';
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
  const line = walkingLine(bassSlots(bars, stage.realisation.band), lowestOf(chair));
  let at = 0;
  return inRhythm(line, chair, stage).map(({ start, length, pitch }) => {
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

/**
 * The rhythm of a bossa: a note of two beats is played dotted, and its last half beat belongs to the note
 * after it, which comes in early unless a chord changes there. Other feels play the line as it is. Common
 * practice, no source.
 */
function inRhythm(line: readonly BassNote[], chair: Chair, stage: Stage): readonly BassNote[] {
  if (stage.feel.name !== 'bossa') return line;
  const beat = beatTicks(stage.tune.meter);
  const changes = new Set(stage.changes.map(({ start }) => start));
  return line.flatMap((note, index) => {
    const { start, length, pitch } = note;
    if (length !== 2 * beat || mannerAt(start, chair, stage) !== 'two-feel') return [note];
    const next = line[index + 1];
    const goesOn = next?.start === start + length && !changes.has(next.start);
    const dotted = 1.5 * beat;
    const pickup = { start: start + dotted, length: beat / 2, pitch: goesOn ? next.pitch : pitch };
    return [{ ...note, length: dotted }, pickup];
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
