import type { LineNote } from '../line/guide.ts';
import { chromaOf, type Spelled } from '../pitch/spelled.ts';
import { barTicks, type Ticks } from '../time/meter.ts';
import type { BarPlace } from './content.ts';
import type { NoteMark, PartEvent } from './model.ts';
import type { SoloistInput, SoloLine } from './soloist-model.ts';

/** The kept line that claims some of a bar. */
export function lineAt(input: SoloistInput, { chorus, bar }: BarPlace): SoloLine | null {
  return (
    input.lines.find(
      (line) =>
        line.chorus === chorus &&
        line.start < bar.start + bar.length &&
        bar.start < line.start + line.length,
    ) ?? null
  );
}

/**
 * The notes of a line that are worth pointing at, by their place in the chorus: over each stretch where the
 * soloist leaves the band, the first one that tells; and the first one that brings it home, in the bar's
 * time after the soloist is back.
 */
export function lineMarks(
  { tellings, over }: SoloistInput,
  { notes }: SoloLine,
  { start, bar }: BarPlace,
): ReadonlyMap<Ticks, NoteMark> {
  const from = start - bar.start;
  const marks = new Map<Ticks, NoteMark>();
  for (const { start: first, length, tells, home } of tellings) {
    const within = notes.filter((note) => from + note.start + note.length > first);
    const away = within.findIndex((note) => over(from + note.start));
    const back = within.findIndex((note, at) => at > away && !over(from + note.start));
    const inside = away >= 0 && from + (within[away]?.start ?? 0) < first + length;
    if (!inside) continue;
    const telling = within.slice(away, back < 0 ? undefined : back);
    const until = (within[back]?.start ?? 0) + barTicks(bar.meter);
    const returning = back < 0 ? [] : within.slice(back).filter((note) => note.start < until);
    markFirst(marks, telling, tells, 'tells');
    markFirst(marks, returning, home, 'home');
  }
  return marks;
}

function markFirst(
  marks: Map<Ticks, NoteMark>,
  notes: readonly LineNote[],
  wanted: Spelled | null,
  mark: NoteMark,
): void {
  if (wanted === null) return;
  const found = notes.find(({ pitch }) => chromaOf(pitch.pc) === chromaOf(wanted));
  if (found) marks.set(found.start, mark);
}

/** Melody or line of a bar: notes cut at its bar lines and tied over them, rests between. */
export function noteEvents(
  notes: readonly LineNote[],
  { bar }: BarPlace,
  marks: ReadonlyMap<Ticks, NoteMark> = new Map(),
): PartEvent[] {
  const end = bar.start + bar.length;
  const inside = notes.filter((note) => note.start < end && note.start + note.length > bar.start);
  const snap = gridOf(inside, bar.start);
  const events: PartEvent[] = [];
  let at = 0;
  for (const note of inside) {
    const from = Math.max(at, snap(Math.max(note.start, bar.start) - bar.start));
    const to = snap(Math.min(note.start + note.length, end) - bar.start);
    if (to <= from) continue;
    if (from > at) events.push({ kind: 'rest', at, length: from - at });
    events.push({
      kind: 'note',
      at: from,
      length: to - from,
      pitches: [note.pitch],
      tied: note.start + note.length > end,
      mark: note.start < bar.start ? null : (marks.get(note.start) ?? null),
      weight: 'play',
    });
    at = to;
  }
  if (at < bar.length) events.push({ kind: 'rest', at, length: bar.length - at });
  return events;
}

/** Ticks of a sixty-fourth, and of a triplet of thirty-seconds: what note values are whole in. */
const GRIDS = [60, 80] as const;

/**
 * How places are written: as they are where note values can say them; else (quintuplets, a melody
 * played in live) at the nearest twelfth of a quarter. What sounds keeps its own time.
 */
function gridOf(notes: readonly LineNote[], from: Ticks): (at: Ticks) => Ticks {
  const places = notes.flatMap(({ start, length }) => [start - from, start + length - from]);
  const exact = GRIDS.some((grid) => places.every((place) => place % grid === 0));
  return exact ? (at) => at : (at) => Math.round(at / GRIDS[1]) * GRIDS[1];
}
