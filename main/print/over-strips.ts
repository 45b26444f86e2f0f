import type { PartHarmony, PartStrip } from '../../shared-core/parts/model.ts';
import { type Bar, type SystemContext, xAt } from './bar-places.ts';
import { type SetChord, setChord } from './chord-symbol.ts';
import { type Floating, fixedAt } from './floating.ts';
import { moved, setText } from './fonts.ts';
import { LOOKS, scaledLook, WORDS } from './looks.ts';
import { groupAt } from './place.ts';
import { stroke } from './shapes.ts';
import { shortChoruses } from './wording.ts';

/** Bars of one line that a strip stands over. */
interface Stretch {
  readonly strip: PartStrip;
  readonly bars: Bar[];
}

/**
 * The changes of other choruses over the bars they replace: the chorus, its chords at their beats, and a
 * line under them as long as the bars they are for.
 */
export function overStrips(context: SystemContext, bars: readonly Bar[]): readonly Floating[] {
  const stretches = new Map<PartStrip, Stretch>();
  for (const bar of bars) {
    if (bar.printed.place !== 'block') continue;
    const index = bar.measure.index;
    for (const strip of context.part.blocks[bar.printed.block]?.strips ?? []) {
      const inside = index >= strip.from && index < strip.from + strip.measures.length;
      if (strip.place !== 'over' || !inside) continue;
      const known = stretches.get(strip);
      if (known) known.bars.push(bar);
      else stretches.set(strip, { strip, bars: [bar] });
    }
  }
  return [...stretches.values()].map((stretch) =>
    overStrip(context, stretch, lineEnd(context, bars)),
  );
}

/** Right end of the staff, where nothing may stand beyond. */
function lineEnd({ sheet }: SystemContext, bars: readonly Bar[]): number {
  return Math.min(...bars.map(({ engraved }) => engraved.left)) + sheet.right - sheet.left;
}

function overStrip({ sheet }: SystemContext, { strip, bars }: Stretch, edge: number): Floating {
  const { size } = sheet;
  const first = bars[0];
  if (!first) throw new Error('A strip stands over no bar');
  // The first bar of a line begins after clef and key.
  const left = Math.max(first.engraved.left + 2 * size, xAt(first, 0) - 9 * size);
  const right = (bars.at(-1) ?? first).engraved.right - 2 * size;
  const words = shortChoruses(strip.choruses);
  const label = setText('semibold', WORDS.over * size, words);
  const chords: { set: SetChord; x: number }[] = [];
  const gap = 4 * size;
  let pen = left + label.width + 5 * size;
  bars.forEach((bar, at) => {
    for (const { at: beat, harmony } of chordsOf(strip, bar, at === 0)) {
      const set = setChord(harmony, sheet.style, scaledLook(LOOKS.over, size));
      const x = Math.max(pen, xAt(bar, beat));
      chords.push({ set, x });
      pen = x + set.width + gap;
    }
  });
  // Too wide for its bars, it gives way to the left and its name hangs out before them; only where the
  // chords by themselves are too wide do they stand out to the right, to the end of the staff at most.
  const wanted = chords.reduce((sum, { set }) => sum + set.width + gap, 2 * size - gap);
  let limit = Math.min(edge, Math.max(right, left + wanted));
  for (const chord of chords.toReversed()) {
    chord.x = Math.min(chord.x, limit - chord.set.width);
    limit = chord.x - gap;
  }
  const start = Math.min(left + 1.5 * size, limit - label.width);
  const end = Math.max(right, ...chords.map(({ set, x }) => x + set.width));
  return {
    ...fixedAt(Math.min(left, start)),
    chorus: strip.choruses[0] ?? null,
    width: end - Math.min(left, start) + 2 * size,
    height: 16.5 * size,
    draw: (baseline) => [
      ...moved(label.items, start, baseline - 4 * size),
      ...chords.map(({ set, x }) => groupAt(set, x, baseline - 4 * size)),
      stroke(
        [
          `M${left} ${baseline - 4 * size}L${left} ${baseline - 1 * size}`,
          `L${right} ${baseline - 1 * size}L${right} ${baseline - 4 * size}`,
        ].join(''),
        0.8 * size,
      ),
    ],
  };
}

/** Chords a strip has in a bar; the one held from before is said where its row begins. */
function chordsOf(strip: PartStrip, bar: Bar, opens: boolean): readonly PartHarmony[] {
  const measure = strip.measures[bar.measure.index - strip.from];
  if (!measure) return [];
  const held = opens && measure.band[0]?.at !== 0 ? measure.carriedBand : null;
  return held ? [{ at: 0, harmony: held }, ...measure.band] : measure.band;
}
