import type { Chair } from '../arrangement/band.ts';
import { bassLine } from '../bass/chair-line.ts';
import type { BassNote } from '../bass/walk.ts';
import { writtenBassLine } from '../bass/written.ts';
import { midiOf } from '../pitch/spelled.ts';
import type { PerformedNote } from './model.ts';
import type { Stage } from './stage.ts';

const LOUDNESS = { base: 70, intensity: 3, downbeat: 4 } as const;
/** Part of a beat a walked note sounds: long, with a breath before the next. */
const SOUNDING = 0.92;

/**
 * The bass chair: a line that is another one in every chorus, or the one its part writes out
 * (`PerformOptions.bassAsWritten`).
 */
export function performBass(chair: Chair, stage: Stage): PerformedNote[] {
  let at = 0;
  return lineOf(chair, stage).map(({ start, length, pitch }) => {
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

function lineOf(chair: Chair, stage: Stage): BassNote[] {
  const { feel, bars, realisation } = stage;
  const ending = stage.ending?.start ?? null;
  if (stage.bassAsWritten) return writtenBassLine({ ...stage, chair, ending });
  const directions = stage.directions
    .filter((direction) => direction.chair === chair.id)
    .map((direction) => ({ ...direction, start: direction.at }));
  return bassLine({ chair, feel, bars, harmony: realisation.band, directions, ending });
}
