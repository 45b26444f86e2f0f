import type { Chair } from '../arrangement/band.ts';
import type { Direction } from '../arrangement/model.ts';
import { sameChord } from '../chord/same.ts';
import { midiOf } from '../pitch/spelled.ts';
import { beatTicks, strongBeats, type Ticks } from '../time/meter.ts';
import type { Feel } from '../tune/feel.ts';
import type { FormBar, TimedHarmony } from '../tune/model.ts';
import {
  BASS_LOW,
  type BassBar,
  type BassManner,
  type BassNote,
  bassSlots,
  walkingLine,
} from './walk.ts';

/** What a bass chair makes its line from. All times are ticks of one timeline. */
export interface BassChart {
  readonly chair: Chair;
  readonly feel: Feel;
  readonly bars: readonly FormBar[];
  /** What the band plays. */
  readonly harmony: readonly TimedHarmony[];
  /** What the leader asks of this chair. */
  readonly directions: readonly Pick<Direction, 'start' | 'length' | 'words'>[];
  /** Where the last chord of all is struck and held to the end; null where the music goes round. */
  readonly ending: Ticks | null;
}

/**
 * The line of a bass chair in the manner of the feel, or of what the leader directs for a stretch: walk,
 * two-feel, pedal, lay out, hits (the changes alone). The last chord of all is held on its root. What is
 * printed and what is played both come from here.
 */
export function bassLine(chart: BassChart): BassNote[] {
  const cuts = cutsFor(chart);
  const bars = chart.bars.flatMap((bar) => piecesOf(bar, cuts, chart));
  return inRhythm(walkingLine(bassSlots(bars, chart.harmony), lowestOf(chart.chair)), chart);
}

/** The lowest sounding note of a bass chair, MIDI: its lowest string, or E1 where nothing is said. */
function lowestOf({ strings }: Chair): number {
  const lowest = strings?.tuning[0];
  return lowest ? midiOf(lowest) : BASS_LOW;
}

/**
 * The rhythm of a bossa: a note of two beats is played dotted, and its last half beat belongs to the note
 * after it, which comes in early unless a chord changes there. Other feels play the line as it is. Common
 * practice, no source.
 */
function inRhythm(line: readonly BassNote[], chart: BassChart): BassNote[] {
  if (chart.feel.name !== 'bossa') return [...line];
  const changes = changesIn(chart.harmony);
  let at = 0;
  return line.flatMap((note, index) => {
    const { start, length, pitch } = note;
    while ((chart.bars[at + 1]?.start ?? Number.POSITIVE_INFINITY) <= start) at++;
    const bar = chart.bars[at];
    const beat = bar ? beatTicks(bar.meter) : 0;
    if (length !== 2 * beat || mannerAt(start, chart) !== 'two-feel') return [note];
    const next = line[index + 1];
    const goesOn = next?.start === start + length && !changes.has(next.start);
    const dotted = 1.5 * beat;
    const pickup = { start: start + dotted, length: beat / 2, pitch: goesOn ? next.pitch : pitch };
    return [{ ...note, length: dotted }, pickup];
  });
}

/** Where another chord comes: not where the same one is written again. */
function changesIn(harmony: readonly TimedHarmony[]): ReadonlySet<Ticks> {
  return new Set(
    harmony.flatMap((event, index) => {
      const before = harmony[index - 1];
      return before && sameChord(before.harmony, event.harmony) ? [] : [event.start];
    }),
  );
}

/** Where a direction begins or ends and where the last chord is struck, in order. */
function cutsFor({ directions, ending }: BassChart): Ticks[] {
  const directed = directions.flatMap(({ start, length }) => [start, start + length]);
  const places = ending === null ? directed : [...directed, ending];
  return [...new Set(places)].sort((a, b) => a - b);
}

/** A bar as one piece, or cut at the places that lie inside it. */
function piecesOf(bar: FormBar, cuts: readonly Ticks[], chart: BassChart): BassBar[] {
  const end = bar.start + bar.length;
  const beat = beatTicks(bar.meter);
  const starts = [bar.start, ...cuts.filter((at) => at > bar.start && at < end)];
  return starts.flatMap((start, index) => {
    const manner = mannerAt(start, chart);
    if (!manner) return [];
    const gone = (start - bar.start) / beat;
    const strong = strongBeats(bar.meter).flatMap((at) => (at >= gone ? [at - gone] : []));
    return [{ start, length: (starts[index + 1] ?? end) - start, beat, strong, manner }];
  });
}

/** How the bass marks time at a tick; null where it lays out. `time` and `on cue` are what it does unasked. */
function mannerAt(at: Ticks, { directions, feel, ending }: BassChart): BassManner | null {
  const words = directions.find(({ start, length }) => at >= start && at < start + length)?.words;
  if (words === 'lay out') return null;
  if (ending !== null && at >= ending) return 'pedal';
  if (words === 'walk' || words === 'two-feel' || words === 'pedal') return words;
  return words === 'hits' ? 'roots' : feel.bass;
}
