import { transposeHarmony } from '../chord/transpose.ts';
import { invert } from '../pitch/interval.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';
import type { Part, PartBlock, PartHarmony, PartMeasure } from './model.ts';

/** A bar as it is played when the printed chart is followed. */
export interface PlayedMeasure {
  /** 1-based chorus. */
  readonly chorus: number;
  /** 0-based bar of the chorus. */
  readonly bar: number;
  /** The bar as it reads in this chorus: cues and instructions for other choruses are left out. */
  readonly measure: PartMeasure;
  /** Whether the chorus is another player's, counted through: the bar is empty, its harmony not on this chart. */
  readonly rests: boolean;
}

/**
 * Follows the printed chart bar by bar, as a player does: blocks top to bottom, repeats and endings,
 * strips in the choruses they name, the jump and the coda at the end.
 *
 * The rule the whole layout stands under: this gives exactly the arrangement. On a soloist's chart, the
 * bars of every chorus in order: its own choruses with both layers, exactly; choruses of others (see
 * `soloistOf`) as empty bars of the right lengths, or, written out, with the band's changes exactly.
 */
export function unrollPart(part: Part): readonly PlayedMeasure[] {
  const played = part.blocks.flatMap((block) => playBlock(part, block));
  const { jump } = part;
  if (!jump) return played;
  const target = part.blocks[jump.block]?.measures ?? [];
  const again = jump.repeats ? playRepeats(target) : target.slice(0, jump.bars);
  const last = [...again, ...jump.coda];
  return [...played, ...last.map((measure, bar) => readIn(measure, jump.chorus, bar))];
}

/** The bars of one block in the order they are played, strips in their places. */
export function playBlock(part: Part, block: PartBlock): readonly PlayedMeasure[] {
  const once = playRepeats(block.measures);
  const measures = block.rests ? block.choruses.flatMap(() => once) : once;
  return measures.map((measure, index) => {
    const bar = index % part.chorusBars;
    const chorus = block.choruses[Math.floor(index / part.chorusBars)];
    if (chorus === undefined) throw new Error(`${block.heading}: more bars than its choruses have`);
    return readIn(stripFor(block, chorus, bar) ?? measure, chorus, bar, block.rests);
  });
}

function stripFor(block: PartBlock, chorus: number, bar: number): PartMeasure | undefined {
  const strip = block.strips.find(
    ({ choruses, from, measures }) =>
      choruses.includes(chorus) && bar >= from && bar < from + measures.length,
  );
  return strip?.measures[bar - strip.from];
}

function readIn(measure: PartMeasure, chorus: number, bar: number, rests = false): PlayedMeasure {
  const here = ({ choruses }: { readonly choruses: readonly number[] | null }): boolean =>
    choruses === null || choruses.includes(chorus);
  return {
    chorus,
    bar,
    rests,
    measure: {
      ...measure,
      cues: measure.cues.filter(here),
      directions: measure.directions.filter(here),
    },
  };
}

/** Plays repeats and endings out. A repeat goes back to its opening sign, or to the start. */
export function playRepeats(measures: readonly PartMeasure[]): readonly PartMeasure[] {
  const played: PartMeasure[] = [];
  let from = 0;
  let pass = 1;
  for (let at = 0; at < measures.length; ) {
    const measure = measures[at];
    if (!measure) break;
    if (measure.repeatStart && at !== from) {
      from = at;
      pass = 1;
    }
    if (measure.endings.length > 0 && !measure.endings.includes(pass)) {
      at++;
      continue;
    }
    played.push(measure);
    if (measure.repeatEnd > pass) {
      pass++;
      at = from;
      continue;
    }
    at++;
    const leaves = measure.repeatEnd > 0 || (measure.endingStop && measure.endings.includes(pass));
    if (leaves && measures[at]?.endings.length === 0) {
      from = at;
      pass = 1;
    }
  }
  return played;
}

/**
 * A layer of the part as it sounds, at concert pitch, from the first chorus' start. Choruses counted
 * through are gaps: what sounds in them is not on the chart.
 */
export function concertLine(part: Part, layer: 'band' | 'solo'): readonly TimedHarmony[] {
  const back = invert(part.reading.toWritten);
  const line: { start: Ticks; length: Ticks; harmony: TimedHarmony['harmony'] }[] = [];
  let at: Ticks = 0;
  let ringing = false;
  for (const { measure, rests } of unrollPart(part)) {
    const chords = rests ? [] : chordsOf(measure, layer, !ringing);
    const last = line.at(-1);
    if (ringing && last)
      last.length = at + (rests ? 0 : (chords[0]?.at ?? measure.length)) - last.start;
    chords.forEach((chord, index) => {
      const end = chords[index + 1]?.at ?? measure.length;
      const harmony = transposeHarmony(chord.harmony, back);
      line.push({ start: at + chord.at, length: end - chord.at, harmony });
    });
    ringing = !rests;
    at += measure.length;
  }
  return line;
}

/** Chords of a bar in one layer; the one that rings into it too where nothing was read before. */
function chordsOf(
  measure: PartMeasure,
  layer: 'band' | 'solo',
  opens: boolean,
): readonly PartHarmony[] {
  const solo = layer === 'solo' && measure.solo !== null;
  const chords = (solo ? measure.solo : measure.band) ?? [];
  const carried = solo ? measure.carriedSolo : measure.carriedBand;
  if (!opens || carried === null || chords[0]?.at === 0) return chords;
  return [{ at: 0, harmony: carried }, ...chords];
}
