import type { Part, PartMeasure } from '../../shared-core/parts/model.ts';
import type { PrintedMeasure } from '../../shared-core/parts/printed.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';
import type { Sheet } from './options.ts';
import type { EngravedMeasure } from './read-svg.ts';

/** What setting a line needs. */
export interface SystemContext {
  readonly part: Part;
  readonly printed: readonly PrintedMeasure[];
  readonly sheet: Sheet;
}

/** A bar of a line: as engraved, as printed, as read. */
export interface Bar {
  readonly engraved: EngravedMeasure;
  readonly printed: PrintedMeasure;
  readonly measure: PartMeasure;
}

/** Chords of a bar with the places the engraver kept for them, in the order they were written. */
export function placedChords(bar: Bar): readonly {
  at: Ticks;
  harmony: PartMeasure['band'][number]['harmony'];
  x: number;
  layer: 'band' | 'solo';
}[] {
  const { measure, engraved } = bar;
  const chords = [
    ...(measure.solo ?? []).map((held) => ({ ...held, layer: 'solo' as const })),
    ...measure.band.map((held) => ({ ...held, layer: 'band' as const })),
  ].sort((a, b) => a.at - b.at);
  if (chords.length !== engraved.chords.length)
    throw new Error(
      `Bar ${engraved.ordinal} has ${chords.length} chords, the engraver kept room for ${engraved.chords.length}`,
    );
  return chords.map(({ at, harmony, layer }, index) => ({
    at,
    harmony,
    layer,
    x: engraved.chords[index] ?? engraved.left,
  }));
}

/** Where a time of the bar stands: at its event, or between two of them. */
export function xAt(bar: Bar, at: Ticks): number {
  const { events } = bar.measure;
  let found: { from: number; to: number; share: number } | null = null;
  events.forEach((event, index) => {
    if (at < event.at || at >= event.at + event.length) return;
    found = { from: index, to: index + 1, share: (at - event.at) / event.length };
  });
  const place = (index: number): number | undefined => bar.engraved.events.get(index)?.x;
  const { from, to, share } = found ?? { from: 0, to: 1, share: 0 };
  const left = place(from) ?? bar.engraved.left + 4;
  if (share === 0) return left;
  return left + ((place(to) ?? bar.engraved.right) - left) * share;
}
