import type { Chair } from '../arrangement/band.ts';
import { isPushed } from '../parts/pushed.ts';
import { beatsPerBar, beatTicks, type Meter, meterName, type Ticks } from '../time/meter.ts';
import type { PerformedNote } from './model.ts';
import { drumStrokes, FIGURES, KIT, partsOfBeat, type Stroke } from './patterns.ts';
import { type PlayedBar, type Stage, variation, wordsAt } from './stage.ts';

/** Loudness that each step of intensity adds to every stroke. */
const PER_INTENSITY = 4;
/** Loudness of a push. */
const PUSH = 58;

/**
 * The drummer: time in the pattern of the feel, louder and with more comments on the snare as the
 * arrangement rises, a fill where a section ends, a crash where a chorus lifts, the pushes of the band. Directed to `hits`, the
 * drummer marks the band's changes and nothing else. The last chord of all is a crash left to ring.
 */
export function performDrums(chair: Chair, stage: Stage): PerformedNote[] {
  const notes: PerformedNote[] = [];
  const time = timeFor(stage);
  stage.bars.forEach((bar, index) => {
    const next = stage.bars[index + 1];
    for (const note of strokesOf(bar, next, stage, time(bar))) {
      if (stage.ending && note.start >= stage.ending.start) continue;
      const words = stage.directions.length > 0 ? wordsAt(stage, chair.id, note.start) : null;
      if (words !== 'lay out' && words !== 'hits') notes.push(note);
    }
  });
  return [...pushesOf(chair, stage), ...notes, ...hitsOf(chair, stage), ...lastCrash(chair, stage)];
}

/** The feel's time bar by bar: its figures come round every four, so each is laid out once. */
function timeFor(stage: Stage): (bar: PlayedBar) => readonly Stroke[] {
  const known = new Map<string, readonly Stroke[]>();
  return ({ meter, index }) => {
    const figure = index % FIGURES;
    const key = `${meterName(meter)} ${figure}`;
    const time = known.get(key) ?? drumStrokes(stage.feel.name, meter, figure).sort(byPlace);
    known.set(key, time);
    return time;
  };
}

function byPlace(a: Stroke, b: Stroke): number {
  return a.at - b.at || a.key - b.key;
}

function strokesOf(
  bar: PlayedBar,
  next: PlayedBar | undefined,
  stage: Stage,
  time: readonly Stroke[],
): PerformedNote[] {
  const parts = partsOfBeat(bar.meter);
  const grid = beatTicks(bar.meter) / parts;
  const short = beatsPerBar(bar.meter) * beatTicks(bar.meter) - bar.length;
  const ahead = bar.number === 0 ? short : 0;
  const notes: PerformedNote[] = [];
  const strokes = strokesWith(time, bar, next, stage);
  const inOrder = strokes === time ? time : [...strokes].sort(byPlace);
  for (const { at, key, velocity } of inOrder) {
    const start = bar.start + at * grid - ahead;
    if (start < bar.start || start >= bar.start + bar.length) continue;
    const loud = Math.min(127, velocity + PER_INTENSITY * bar.intensity);
    notes.push({ start, length: Math.round(grid / 2), midi: key, velocity: loud });
  }
  return notes;
}

/** The strokes of a bar: time, with a fill for its last beat or a comment on the snare. */
function strokesWith(
  time: readonly Stroke[],
  bar: PlayedBar,
  next: PlayedBar | undefined,
  stage: Stage,
): readonly Stroke[] {
  const parts = partsOfBeat(bar.meter);
  const end = beatsPerBar(bar.meter) * parts;
  const strokes = lifts(bar, stage) ? [...time, { at: 0, key: KIT.crash, velocity: 62 }] : time;
  if (stage.feel.name === 'ballad') return strokes;
  if (next?.startsSection && bar.intensity >= 1) {
    const from = end - parts * (bar.intensity >= 4 ? 2 : 1);
    return [...strokes.filter(({ at, key }) => at < from || key === KIT.kick), ...fill(from, end)];
  }
  if (bar.intensity < 2 || stage.feel.name === 'bossa') return strokes;
  const at = 1 + variation(bar.start / bar.length, end - 2);
  const taken = strokes.some((stroke) => stroke.at === at && stroke.key === KIT.snare);
  return taken ? strokes : [...strokes, { at, key: KIT.snare, velocity: 32 }];
}

/** A snare stroke on every part of a beat up to the bar line, growing. */
function fill(from: number, end: number): Stroke[] {
  return Array.from({ length: end - from }, (_, index) => ({
    at: from + index,
    key: KIT.snare,
    velocity: 44 + 6 * index,
  }));
}

/** The first bar of a chorus that is more intense than the one before it. */
function lifts(bar: PlayedBar, stage: Stage): boolean {
  if (bar.index !== 0 || bar.chorus === 0) return false;
  return bar.intensity > (stage.realisation.choruses[bar.chorus - 1]?.intensity ?? 0);
}

/**
 * The bass drum marks every chord that the band brings in early, with the snare once the music has risen:
 * a push is everybody's. Common practice, no source.
 */
function pushesOf(chair: Chair, stage: Stage): PerformedNote[] {
  const { bars, changes, ending } = stage;
  let at = 0;
  return changes.flatMap((event) => {
    while ((bars[at + 1]?.start ?? Number.POSITIVE_INFINITY) <= event.start) at++;
    const bar = bars[at];
    if (!bar || event.harmony.kind !== 'chord' || !isPushed(event, bar)) return [];
    if (ending && event.start >= ending.start) return [];
    const words = wordsAt(stage, chair.id, event.start);
    if (words === 'lay out' || words === 'hits') return [];
    const keys = bar.intensity >= 2 ? [KIT.kick, KIT.snare] : [KIT.kick];
    const velocity = PUSH + PER_INTENSITY * bar.intensity;
    return keys.map((midi) => ({ start: event.start, length: 240, midi, velocity }));
  });
}

/** Snare and bass drum on every change of the band inside a stretch of `hits`. */
function hitsOf(chair: Chair, stage: Stage): PerformedNote[] {
  if (!stage.directions.some(({ chair: id, words }) => id === chair.id && words === 'hits'))
    return [];
  return stage.changes.flatMap(({ start, harmony }) => {
    if (harmony.kind !== 'chord' || wordsAt(stage, chair.id, start) !== 'hits') return [];
    if (stage.ending && start >= stage.ending.start) return [];
    return [KIT.kick, KIT.snare].map((midi) => ({ start, length: 240, midi, velocity: 78 }));
  });
}

function lastCrash(chair: Chair, stage: Stage): PerformedNote[] {
  const { ending } = stage;
  if (!ending || wordsAt(stage, chair.id, ending.start) === 'lay out') return [];
  return [KIT.crash, KIT.kick].map((midi) => ({ ...ending, midi, velocity: 72 }));
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
