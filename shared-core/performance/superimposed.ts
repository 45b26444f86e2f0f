import type { Realisation } from '../arrangement/model.ts';
import { harmonyAt } from '../arrangement/realise.ts';
import type { Chord } from '../chord/model.ts';
import type { Compass } from '../line/guide.ts';
import { chromaOf, modulo } from '../pitch/spelled.ts';
import { lastStartingBy } from '../time/halving.ts';
import { beatTicks, type Ticks } from '../time/meter.ts';
import type { PerformedNote } from './model.ts';
import { partsOfBeat } from './patterns.ts';
import type { PlayedBar, Stage } from './stage.ts';

/** A stretch of the whole arrangement. */
export interface Stretch {
  readonly start: Ticks;
  readonly length: Ticks;
}

/** Where the soloist plays over other changes than the band. */
export function superimposedStretches({ placements }: Realisation): Stretch[] {
  return placements.filter(({ placement }) => placement.layer === 'soloist');
}

/** Whether a tick lies in one of the stretches. */
export function liesIn(stretches: readonly Stretch[], at: Ticks): boolean {
  return stretches.some(({ start, length }) => at >= start && at < start + length);
}

/** Notes of a figure: enough to tell one chord from another. */
const FIGURE = 4;

/**
 * A guide tone of a superimposed chord drawn out into the chord itself, broken upwards from it (downwards
 * where the instrument ends) and begun again in every bar: nobody else plays that chord, and one note would
 * not tell it. Common practice, no source; composed for this program.
 */
export function brokenChord(note: PerformedNote, compass: Compass, stage: Stage): PerformedNote[] {
  const harmony = harmonyAt(stage.realisation.solo, note.start);
  if (harmony?.kind !== 'chord') return [note];
  const midi = figureOf(harmony, note.midi, compass);
  return piecesOf(note, stage.bars).flatMap(({ start, length, part }) => {
    const count = Math.max(1, Math.min(midi.length, Math.round(length / part)));
    return midi.slice(0, count).map((pitch, index) => ({
      start: start + index * part,
      length: index === count - 1 ? length - index * part : part,
      midi: pitch,
      velocity: note.velocity,
    }));
  });
}

/** A note cut at the bar lines, with the length of a part of a beat there. */
function piecesOf(
  { start, length }: PerformedNote,
  bars: readonly PlayedBar[],
): (Stretch & { part: Ticks })[] {
  const pieces: (Stretch & { part: Ticks })[] = [];
  const end = start + length;
  for (let index = lastStartingBy(bars, start); ; index++) {
    const bar = bars[index];
    if (!bar || bar.start >= end) return pieces;
    const from = Math.max(bar.start, start);
    const to = Math.min(bar.start + bar.length, end);
    const part = beatTicks(bar.meter) / partsOfBeat(bar.meter);
    if (to > from) pieces.push({ start: from, length: to - from, part });
  }
}

function figureOf(chord: Chord, from: number, compass: Compass): number[] {
  const up = stacked(chord, from, 1);
  if (Math.max(...up) <= compass.high) return up;
  const down = stacked(chord, from, -1);
  return Math.min(...down) >= compass.low ? down : up.map((midi) => midi - 12);
}

/** The chord's tones one after another from a guide tone, each in the nearest octave above (1) or below (-1). */
function stacked(chord: Chord, from: number, way: 1 | -1): number[] {
  const tones = tonesOf(chord);
  const first = Math.max(0, tones.indexOf(modulo(from, 12)));
  const midi = [from];
  for (let step = 1; step < Math.min(FIGURE, tones.length); step++) {
    const before = midi[step - 1] ?? from;
    const tone = tones[modulo(first + way * step, tones.length)] ?? from;
    midi.push(before + way * modulo(way * (tone - before), 12));
  }
  return midi;
}

/** Pitch classes of a chord by thirds; one of five tones or more goes without its root. */
function tonesOf({ root, quality }: Chord): number[] {
  const tones = quality.fifths.map((up) => chromaOf(root + up));
  return tones.length > FIGURE ? tones.slice(1) : tones;
}
