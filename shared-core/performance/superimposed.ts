import type { Realisation } from '../arrangement/model.ts';
import { harmonyAt } from '../arrangement/realise.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import { notesOf } from '../chord/tones.ts';
import type { Compass } from '../line/guide.ts';
import { chromaOf, type Spelled } from '../pitch/spelled.ts';
import { lastStartingBy } from '../time/halving.ts';
import { beatTicks, metricWeight, type Ticks } from '../time/meter.ts';
import { type FigureSlot, figureLine } from './figures.ts';
import type { PerformedNote } from './model.ts';
import { partsOfBeat } from './patterns.ts';
import { type PlayedBar, type Stage, variation } from './stage.ts';

/** A stretch of the whole arrangement. */
export interface Stretch {
  readonly start: Ticks;
  readonly length: Ticks;
}

/** A stretch where the soloist plays over other changes than the band, with the note that tells and the one it goes home to. */
export interface Superimposed extends Stretch {
  readonly tells: Spelled | null;
  readonly home: Spelled | null;
}

/** Where the soloist plays over other changes than the band. */
export function superimposedStretches({ placements }: Realisation): Superimposed[] {
  return placements
    .filter(({ placement }) => placement.layer === 'soloist')
    .map(({ start, length, placement: { origin } }) => {
      const { tells, home } = origin.kind === 'proposal' ? origin : { tells: null, home: null };
      return { start, length, tells, home };
    });
}

/** Whether a tick lies in one of the stretches. */
export function liesIn(stretches: readonly Stretch[], at: Ticks): boolean {
  return stretches.some(({ start, length }) => at >= start && at < start + length);
}

/** What surrounds a stretch and how loud it is. */
export interface Setting {
  readonly compass: Compass;
  /** Notes of the line around it, in order. */
  readonly around: readonly PerformedNote[];
  readonly velocity: number;
}

/** Loudness a metric weight of 1 adds to a note of a figure: on the beat it is played a little harder. */
const WEIGHT = 2;
/** Parts of a beat that the last note of a figure sounds at most; then the player breathes. */
const LAST = 2;

/**
 * What a soloist without a written line plays over changes that nobody else plays: figures that spell them
 * (`figures.ts`), a bar at most each, and one note wherever the stretch holds the band's own chord.
 */
export function superimposedLine(
  stretch: Superimposed,
  { compass, around, velocity }: Setting,
  stage: Stage,
): PerformedNote[] {
  const end = stretch.start + stretch.length;
  const pieces = piecesOf(stretch, stage);
  const before = around.findLast(({ start }) => start < stretch.start)?.midi ?? null;
  const after = around.find(({ start }) => start >= end)?.midi ?? null;
  const figures = figureLine(
    pieces.map(({ slot }) => slot),
    compass,
    before,
    after,
  );
  return pieces.flatMap(({ start, length, part, bar, slot }, index) => {
    const { at, midi } = figures[index] ?? { at: [], midi: [] };
    return midi.map((pitch, note) => {
      const from = (at[note] ?? 0) * part;
      const next = (at[note + 1] ?? Number.POSITIVE_INFINITY) * part;
      const room = slot.plain ? length : Math.min(next, from + LAST * part, length);
      return {
        start: start + from,
        length: room - from,
        midi: pitch,
        velocity: velocity + WEIGHT * metricWeight(bar.meter, start + from - bar.start),
      };
    });
  });
}

interface Piece extends Stretch {
  readonly part: Ticks;
  readonly bar: PlayedBar;
  readonly slot: FigureSlot;
}

/** The changes of a stretch cut at the bar lines; a chord of the band's own that goes on is not begun again. */
function piecesOf({ start: from, length, tells, home }: Superimposed, stage: Stage): Piece[] {
  const { solo, band } = stage.realisation;
  const end = from + length;
  const pieces: Piece[] = [];
  let left = false;
  for (let index = lastStartingBy(solo, from); (solo[index]?.start ?? end) < end; index++) {
    const event = solo[index];
    if (event?.harmony.kind !== 'chord') continue;
    const { harmony: chord } = event;
    const below = harmonyAt(band, event.start);
    const plain = below !== null && sameChord(chord, below);
    const begins = Math.max(event.start, from);
    const until = Math.min(event.start + event.length, end);
    const bars = barsIn(begins, until, stage.bars);
    for (const bar of plain ? bars.slice(0, 1) : bars) {
      const start = Math.max(bar.start, begins);
      const barEnd = Math.min(bar.start + bar.length, until);
      const parts = partsOfBeat(bar.meter);
      const part = beatTicks(bar.meter) / parts;
      const slot: FigureSlot = {
        chord,
        parts: Math.max(1, Math.floor((barEnd - start) / part)),
        beat: parts,
        wish: plain ? (left ? home : null) : toneThatTells(chord, solo[index - 1]?.harmony, tells),
        plain,
        place: variation(bar.chorus * 7 + bar.index, 64),
      };
      pieces.push({ start, length: barEnd - start, part, bar, slot });
    }
    left ||= !plain;
  }
  return pieces;
}

/** The one tone that a chord does not share with the chord before: the line of a cliché; else the note that tells. */
function toneThatTells(
  chord: Chord,
  before: Harmony | undefined,
  tells: Spelled | null,
): Spelled | null {
  const known = before?.kind === 'chord' ? notesOf(before).map(chromaOf) : [];
  const [fresh, ...others] = notesOf(chord).filter((tone) => !known.includes(chromaOf(tone)));
  return fresh !== undefined && others.length === 0 ? fresh : tells;
}

function barsIn(from: Ticks, to: Ticks, bars: readonly PlayedBar[]): PlayedBar[] {
  return bars.slice(lastStartingBy(bars, from), lastStartingBy(bars, to - 1) + 1);
}
