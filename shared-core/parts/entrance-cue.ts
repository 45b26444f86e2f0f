import type { ChorusPlan } from '../arrangement/model.ts';
import type { BarContent, HeardBar } from './content.ts';
import { measureOf } from './merged.ts';
import type { EntranceCue, PartBlock, PartEvent, PartMeasure } from './model.ts';
import { chorusLabel } from './road.ts';
import { closed } from './sections.ts';
import { soundingIn } from './timeline.ts';

/** Bars before an entrance that a cue shows. Common practice, no source. */
const CUE_BARS = 2;

/**
 * What is heard at the end of a counted rest: whose chorus ends, the band's changes, and the melody in small
 * notes where it is played.
 */
export function entranceCue(
  bars: readonly (readonly BarContent[])[],
  choruses: readonly ChorusPlan[],
  block: PartBlock,
): EntranceCue | null {
  const last = (block.choruses.at(-1) ?? 1) - 1;
  const plan = choruses[last];
  if (!plan) return null;
  const heard = (bars[last] ?? [])
    .slice(-CUE_BARS)
    .flatMap((bar) => (bar.heard ? [{ bar, heard: bar.heard }] : []));
  const sung = heard.some(({ heard: { melody } }) => melody?.some(({ kind }) => kind === 'note'));
  return {
    words: `${chorusLabel(plan)} ends`,
    bars: heard.map(({ heard: { band } }) => soundingIn(band)),
    measures: sung
      ? closed(
          heard.map(({ bar, heard: each }) => cueMeasure(bar, each)),
          'double',
        )
      : [],
  };
}

function cueMeasure(bar: BarContent, { band, melody }: HeardBar): PartMeasure {
  const events = (melody ?? bar.events).map(
    (event): PartEvent =>
      event.kind === 'note' ? { ...event, weight: 'line', mark: null } : event,
  );
  const words = { cues: [], directions: [], events };
  return { ...measureOf({ ...bar, band }, words), rehearsal: null };
}
