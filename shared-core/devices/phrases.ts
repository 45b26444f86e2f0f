import type { StaticSpan } from '../analysis/model.ts';
import type { Ticks } from '../time/meter.ts';
import type { Change, Rewrite, Site } from './model.ts';

/** A phrase inside a held stretch that goes on behind it: where it starts, and the site it is by itself. */
export interface Phrase {
  /** Ticks from the start of the whole stretch. */
  readonly offset: Ticks;
  readonly site: Site;
  readonly whole: Site;
}

/**
 * Phrases of two, four and eight bars inside a longer held stretch: places where movement can go out and be
 * home again while the chord is still held, at its third, fifth or ninth bar. Only phrases that the stretch
 * goes on behind; the last one is the stretch's own end, which every device knows anyway. Two sizes at the
 * most, the largest that fit, so that a long vamp is not cut to pieces.
 *
 * Rule: phrases come in two, four and eight bars (common practice, no source).
 */
export function phrasesOf(site: Site): readonly Phrase[] {
  const bars = site.bars.filter((bar) => bar.start >= 0 && bar.start < site.length);
  if (site.written.length > 1 || bars[0]?.start !== 0) return [];
  const sizes = [8, 4, 2].filter((size) => size < bars.length).slice(0, 2);
  const phrases: Phrase[] = [];
  for (const [rank, size] of sizes.entries()) {
    // The smaller size only at the top: further on it is the larger phrase's own inside.
    const last = rank === 0 ? bars.length - size : 1;
    for (let first = 0; first < last; first += size) {
      const offset = bars[first]?.start ?? 0;
      const end = bars[first + size]?.start ?? site.length;
      if (end < site.length)
        phrases.push({ offset, site: phraseSite(site, offset, end - offset), whole: site });
    }
  }
  return phrases;
}

function phraseSite(site: Site, offset: Ticks, length: Ticks): Site {
  const span: StaticSpan = {
    ...site.span,
    start: site.span.start + offset,
    length,
    beats: (site.span.beats * length) / site.length,
  };
  return {
    ...site,
    span,
    next: site.held,
    previous: offset === 0 ? site.previous : site.held,
    written: [{ at: 0, length, harmony: site.held }],
    bars: site.bars
      .map((bar) => ({ ...bar, start: bar.start - offset }))
      .filter((bar) => bar.start + bar.length > 0 && bar.start < length),
    length,
    keep: site.keep.map((at) => at - offset).filter((at) => at >= 0 && at < length),
    melody: [],
  };
}

/** A phrase's rewrite as a rewrite of the whole stretch: the chord is held before and after. */
export function inWhole({ offset, site: phrase, whole: site }: Phrase, rewrite: Rewrite): Rewrite {
  const bar = phrase.bars.find(({ start }) => start === 0);
  const from = (bar?.index ?? 0) - (site.bars[0]?.index ?? 0) + 1;
  const moved = rewrite.changes.map((change) => ({ ...change, at: change.at + offset }));
  const end = offset + phrase.length;
  const changes = joined([
    { at: 0, length: offset, harmony: site.held },
    ...moved,
    { at: end, length: site.length - end, harmony: site.held },
  ]);
  return {
    ...rewrite,
    changes,
    variant: `${rewrite.variant}.of-${phrase.bars.length}-from-${from}`,
  };
}

/** Neighbours that hold the very same chord made one; empty ones left out. */
function joined(changes: readonly Change[]): Change[] {
  const kept: Change[] = [];
  for (const change of changes) {
    const before = kept.at(-1);
    if (change.length === 0) continue;
    if (before && before.harmony === change.harmony) {
      kept[kept.length - 1] = { ...before, length: before.length + change.length };
    } else kept.push(change);
  }
  return kept;
}
