import type { Harmony } from '../../shared-core/chord/model.ts';
import type { Part, PartHarmony, PartMeasure } from '../../shared-core/parts/model.ts';
import { printedMeasures } from '../../shared-core/parts/printed.ts';
import { repeatsBefore } from './simile.ts';

/**
 * The part as it is shown: where a line starts inside a held chord the chord is said again, and where
 * the soloist's changes stand over others both layers are said from the bar line on; a drummer's bars of time
 * repeat the first one of their line. Nothing that sounds changes.
 */
export function restated(part: Part, starts: ReadonlySet<number>): Part {
  let ordinal = 0;
  const drums = part.reading.clef.sign === 'percussion';
  const show = (measures: readonly PartMeasure[]): PartMeasure[] =>
    measures.map((measure, at) => {
      const opens = starts.has(ordinal++);
      const repeats = !opens && drums && repeatsBefore(measures[at - 1], measure);
      return repeats ? repeated(measure) : shown(measure, opens);
    });
  const blocks = part.blocks.map((block) => ({
    ...block,
    measures: show(block.measures),
    strips: block.strips.map((strip) =>
      strip.place === 'below' ? { ...strip, measures: show(strip.measures) } : strip,
    ),
    cue: block.cue && { ...block.cue, measures: show(block.cue.measures) },
  }));
  const jump = part.jump ? { ...part.jump, coda: show(part.jump.coda) } : null;
  const made = { ...part, blocks, jump };
  if (printedMeasures(made).length !== ordinal) throw new Error('A printed bar was lost');
  return made;
}

function shown(measure: PartMeasure, opensLine: boolean): PartMeasure {
  const band =
    opensLine || measure.solo !== null ? withHeld(measure.band, measure.carriedBand) : measure.band;
  const solo = measure.solo && withHeld(measure.solo, measure.carriedSolo);
  return { ...measure, band, solo };
}

/** A bar as a sign that says: as before. */
function repeated(measure: PartMeasure): PartMeasure {
  return { ...measure, events: [{ kind: 'simile', at: 0, length: measure.length }] };
}

function withHeld(list: readonly PartHarmony[], held: Harmony | null): readonly PartHarmony[] {
  return held && list[0]?.at !== 0 ? [{ at: 0, harmony: held }, ...list] : list;
}
