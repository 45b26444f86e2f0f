import type { Chair } from '../arrangement/band.ts';
import { isHead, soloistInTurn, soloistOf } from '../arrangement/soloist-of.ts';
import { type Compass, guideLine } from '../line/guide.ts';
import { type Instrument, instrumentById } from '../pitch/instruments.ts';
import { midiOf } from '../pitch/spelled.ts';
import { lastStartingBy } from '../time/halving.ts';
import { metricWeight, type Ticks } from '../time/meter.ts';
import type { TimedNote } from '../tune/model.ts';
import type { PerformedNote } from './model.ts';
import type { Stage } from './stage.ts';
import {
  liesIn,
  type Stretch,
  type Superimposed,
  superimposedLine,
  superimposedStretches,
} from './superimposed.ts';

/** Loudness of melody, kept lines and guide tones, what a step of intensity adds, and what each metric weight adds (0-4). */
const LOUDNESS = { melody: 82, line: 76, guide: 70, intensity: 3, weight: 2 } as const;

/**
 * A soloist's chair: what it plays in the choruses that are its own (see `soloistOf`); where a chorus is
 * for all, the soloists take turns. In a head that is the melody, elsewhere the guide-tone line of the
 * changes the soloist plays over. Where those are other changes than the band's, they are broken into chords
 * (`superimposed.ts`), in a head by another soloist under the melody, or in its place by the only one. A line
 * kept for a chair is what that chair plays there, whoever's chorus it is; nothing else sounds against it.
 */
export function performSoloist(chair: Chair, stage: Stage): PerformedNote[] {
  const compass = soundingCompass(instrumentById(chair.instrument));
  const { choruses, chorusLength } = stage.realisation;
  const melody = stage.chorus.melody.length > 0;
  const own = stage.lines.filter((line) => line.chair === chair.id);
  const allOver = superimposedStretches(stage.realisation);
  const usual = choruses.flatMap((plan) => {
    const from = plan.order * chorusLength;
    const to = from + chorusLength;
    const over = allOver.filter(({ start, length }) => start < to && start + length > from);
    const player = soloistOf(plan, choruses, stage, melody) ?? soloistInTurn(plan, stage, melody);
    const head = isHead(plan, choruses, melody);
    const second = head ? (otherSoloist(stage, player) ?? player) : player;
    const notes: PerformedNote[] = [];
    if (head && player === chair.id) {
      const tune = melodyFrom(stage, from, compass, plan.intensity);
      const clear = second === player ? clearOf(over, tune) : tune;
      notes.push(...clearOf(own.map(soundingStretch), clear));
    }
    if (second === chair.id && (!head || over.length > 0)) {
      const guide = guideFrom(stage, from, to, compass, plan.intensity);
      const around = head ? [] : guide.filter(({ start }) => !liesIn(over, start));
      const velocity = LOUDNESS.guide + LOUDNESS.intensity * plan.intensity;
      const figures = over.flatMap((stretch) =>
        superimposedLine(cutTo(stretch, from, to), { compass, around, velocity }, stage),
      );
      notes.push(...clearOf(stage.lines.map(soundingStretch), [...around, ...figures]));
    }
    return notes;
  });
  return [...usual, ...own.flatMap((line) => keptFrom(stage, line))];
}

/** The part of a stretch that lies in a chorus: at its end another player may take over. */
function cutTo(stretch: Superimposed, from: Ticks, to: Ticks): Superimposed {
  const start = Math.max(stretch.start, from);
  const length = Math.min(stretch.start + stretch.length, to) - start;
  return { ...stretch, start, length };
}

/** The first soloist who is not the one given. */
function otherSoloist(stage: Stage, player: string | null): string | null {
  return stage.chairs.find(({ role, id }) => role === 'soloist' && id !== player)?.id ?? null;
}

function soundingStretch({ at, start, length }: Stage['lines'][number]): Stretch {
  return { start: at + start, length };
}

/** The notes of a kept line, a little apart and accented like the guide tones. */
function keptFrom(stage: Stage, line: Stage['lines'][number]): PerformedNote[] {
  const intensity = stage.realisation.choruses.find(({ id }) => id === line.chorus)?.intensity ?? 0;
  const { bars } = stage.chorus;
  let bar = 0;
  return line.notes.map(({ start, length, pitch }) => {
    while ((bars[bar + 1]?.start ?? Number.POSITIVE_INFINITY) <= start) bar++;
    const here = bars[bar];
    const weight = here ? metricWeight(here.meter, start - here.start) : 0;
    return {
      start: line.at + start,
      length: Math.max(1, Math.round(length * 0.95)),
      midi: midiOf(pitch),
      velocity: LOUDNESS.line + LOUDNESS.intensity * intensity + LOUDNESS.weight * weight,
    };
  });
}

/** Notes that do not sound in some stretches: left out where they begin in one, cut where they ring into one. */
function clearOf(stretches: readonly Stretch[], notes: readonly PerformedNote[]): PerformedNote[] {
  if (stretches.length === 0) return [...notes];
  return notes.flatMap((note) => {
    const meets = stretches.filter(
      ({ start, length }) => note.start < start + length && start < note.start + note.length,
    );
    const room = Math.min(note.length, ...meets.map(({ start }) => start - note.start));
    return room > 0 ? [{ ...note, length: room }] : [];
  });
}

function melodyFrom(
  stage: Stage,
  from: Ticks,
  compass: Compass,
  intensity: number,
): PerformedNote[] {
  const { melody, bars } = stage.chorus;
  const shift = octaveInto(melody, compass);
  let bar = 0;
  return melody.map((note) => {
    while ((bars[bar + 1]?.start ?? Number.POSITIVE_INFINITY) <= note.start) bar++;
    const here = bars[bar];
    const weight = here ? metricWeight(here.meter, note.start - here.start) : 0;
    return {
      start: from + note.start,
      length: note.length,
      midi: midiOf(note.pitch) + shift,
      velocity: LOUDNESS.melody + LOUDNESS.weight * weight + LOUDNESS.intensity * intensity,
    };
  });
}

/** Whole octaves that bring most of a melody into a compass. */
function octaveInto(melody: readonly TimedNote[], compass: Compass): number {
  const outside = (shift: number): number =>
    melody.reduce((sum, note) => {
      const midi = midiOf(note.pitch) + shift;
      return sum + Math.max(0, compass.low - midi) + Math.max(0, midi - compass.high);
    }, 0);
  return [0, -12, 12, -24, 24].reduce(
    (best, shift) => (outside(shift) < outside(best) ? shift : best),
    0,
  );
}

function guideFrom(
  stage: Stage,
  from: Ticks,
  to: Ticks,
  compass: Compass,
  intensity: number,
): PerformedNote[] {
  const { solo } = stage.realisation;
  const events = solo.slice(lastStartingBy(solo, from), lastStartingBy(solo, to) + 1);
  const own = events.filter((event) => event.start >= from && event.start < to);
  return guideLine(own, compass).map(({ start, length, pitch }) => ({
    start,
    length: Math.max(1, Math.round(length * 0.95)),
    midi: midiOf(pitch),
    velocity: LOUDNESS.guide + LOUDNESS.intensity * intensity,
  }));
}

/** Comfortable range of an instrument at sounding pitch; a voice without one sings in the middle of the staff. */
export function soundingCompass(instrument: Instrument): Compass {
  const range = instrument.comfortable ?? instrument.range;
  if (!range) return { low: 60, high: 79 };
  const down = instrument.toWritten.semitones;
  return { low: midiOf(range.low) - down, high: midiOf(range.high) - down };
}
