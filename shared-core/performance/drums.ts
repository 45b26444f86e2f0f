import type { Chair } from '../arrangement/band.ts';
import { beatsPerBar, beatTicks, isCompound, type Meter, type Ticks } from '../time/meter.ts';
import type { PerformedNote } from './model.ts';
import { drumStrokes, KIT } from './patterns.ts';
import type { Stage } from './stage.ts';

/** Loudness that each step of intensity adds to every stroke. */
const PER_INTENSITY = 4;

/** The drummer: time in the pattern of the feel, louder as the arrangement rises. */
export function performDrums(chair: Chair, stage: Stage): PerformedNote[] {
  const notes: PerformedNote[] = [];
  for (const bar of stage.bars) {
    if (laysOut(chair, stage, bar.start)) continue;
    const grid = beatTicks(bar.meter) / (isCompound(bar.meter) ? 3 : 2);
    const short = beatsPerBar(bar.meter) * beatTicks(bar.meter) - bar.length;
    for (const { at, key, velocity } of drumStrokes(stage.feel.name, bar.meter, bar.index)) {
      const start = bar.start + at * grid - (bar.number === 0 ? short : 0);
      if (start < bar.start || start >= bar.start + bar.length) continue;
      const loud = Math.min(127, velocity + PER_INTENSITY * bar.intensity);
      notes.push({ start, length: Math.round(grid / 2), midi: key, velocity: loud });
    }
  }
  return notes;
}

function laysOut(chair: Chair, stage: Stage, at: Ticks): boolean {
  return stage.directions.some(
    ({ chair: id, words, at: from, length }) =>
      id === chair.id && words === 'lay out' && at >= from && at < from + length,
  );
}

/**
 * The count: a stick click on every beat; where two bars are counted, the first one in its strong beats
 * alone (one, two, one two three four). Common practice, no source.
 */
export function performCountIn(meter: Meter, length: Ticks): PerformedNote[] {
  const beat = beatTicks(meter);
  const bar = beat * beatsPerBar(meter);
  const notes: PerformedNote[] = [];
  for (let at = 0; at < length; at += beat) {
    const thin =
      length >= bar * 2 && at < bar && beatsPerBar(meter) % 2 === 0 && (at / beat) % 2 === 1;
    if (thin) continue;
    notes.push({
      start: at,
      length: Math.round(beat / 4),
      midi: KIT.stick,
      velocity: at % bar === 0 ? 90 : 76,
    });
  }
  return notes;
}
