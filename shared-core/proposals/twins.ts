import type { Harmony } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import type { Change, Site } from '../devices/model.ts';
import { endsForm } from '../devices/site.ts';
import { sameMeter } from '../time/meter.ts';
import type { FormBar, TimedNote } from '../tune/model.ts';
import type { Drafted } from './draft.ts';
import { idAt } from './id.ts';
import { writtenWays } from './keep-written.ts';
import type { Clash } from './model.ts';

/**
 * Sites of one tune that are alike: the same chord held for as long, in the same bars, between the same
 * chords, under the same melody, as where an A section comes again. What is proposed at one of them is
 * proposed at the other, so it is drafted once and moved.
 */
export class Twins {
  readonly #known = new Map<string, Drafted[]>();

  /** The drafts of a site: those of a twin met before, moved here, or else what `draft` finds. */
  draftsAt(site: Site, draft: (site: Site) => Drafted): Drafted {
    // What is written in several ways is given back as it stands there and nowhere else.
    if (writtenWays(site) !== null) return draft(site);
    const look = lookOf(site);
    const known = this.#known.get(look) ?? [];
    const twin = known.find((other) => areTwins(other.site, site));
    if (twin !== undefined) return moved(twin, site);
    const drafted = draft(site);
    this.#known.set(look, [...known, drafted]);
    return drafted;
  }
}

/** The most of what twins have in common, in short: only sites that look alike are compared. */
function lookOf({ length, key, held, next }: Site): string {
  const after = next === null ? '' : `${next.root}.${next.quality.mask}`;
  return `${length}/${key.tonic}/${held.root}.${held.quality.mask}/${after}`;
}

/** Whether two sites of one tune differ in nothing but where they stand. */
function areTwins(a: Site, b: Site): boolean {
  const bars = barsBetween(a, b);
  return (
    a.length === b.length &&
    a.key.tonic === b.key.tonic &&
    a.key.mode === b.key.mode &&
    sameSymbol(a.held, b.held) &&
    sameSymbol(a.next, b.next) &&
    sameSymbol(a.previous, b.previous) &&
    endsForm(a) === endsForm(b) &&
    alike(a.written, b.written, sameChange) &&
    alike(a.keep, b.keep, (here, there) => here === there) &&
    alike(a.bars, b.bars, (here, there) => sameBar(here, there, bars)) &&
    alike(a.melody, b.melody, sameNote)
  );
}

/** Bars from one site to the other. */
function barsBetween(from: Site, to: Site): number {
  return (to.bars[0]?.index ?? 0) - (from.bars[0]?.index ?? 0);
}

function alike<T>(a: readonly T[], b: readonly T[], same: (a: T, b: T) => boolean): boolean {
  if (a.length !== b.length) return false;
  return a.every((here, index) => {
    const there = b[index];
    return there !== undefined && same(here, there);
  });
}

/** The same chord, also in its brackets: it is printed in reasons. */
function sameSymbol(a: Harmony | null, b: Harmony | null): boolean {
  if (a === null || b === null) return a === b;
  return sameChord(a, b) && isOptional(a) === isOptional(b);
}

function isOptional(harmony: Harmony): boolean {
  return harmony.kind === 'chord' && harmony.optional;
}

function sameChange(a: Change, b: Change): boolean {
  return a.at === b.at && a.length === b.length && sameSymbol(a.harmony, b.harmony);
}

/** Bars that divide alike, and as many bars apart as the sites are. A pickup divides in a way of its own. */
function sameBar(a: FormBar, b: FormBar, apart: number): boolean {
  return (
    a.start === b.start &&
    a.length === b.length &&
    sameMeter(a.meter, b.meter) &&
    (a.number === 0) === (b.number === 0) &&
    b.index - a.index === apart
  );
}

function sameNote(a: TimedNote, b: TimedNote): boolean {
  return (
    a.start === b.start &&
    a.length === b.length &&
    a.pitch.pc === b.pitch.pc &&
    a.pitch.octave === b.pitch.octave
  );
}

/** The drafts of a site at its twin: with other ids, and rubbing in other bars. */
function moved({ site: from, drafts }: Drafted, to: Site): Drafted {
  const bars = barsBetween(from, to);
  const shifted = new Map<readonly Clash[], readonly Clash[]>();
  const movedDrafts = drafts.map((draft) => {
    let clashes = shifted.get(draft.clashes);
    if (clashes === undefined) {
      clashes = draft.clashes.map((clash) => ({ ...clash, bar: clash.bar + bars }));
      shifted.set(draft.clashes, clashes);
    }
    return { ...draft, id: idAt(draft.rewrite, to.span.id), clashes };
  });
  return { site: to, drafts: movedDrafts };
}
