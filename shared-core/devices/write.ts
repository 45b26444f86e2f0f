import type { DeviceName } from '../analysis/model.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import type { Spelled } from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import type { Layout } from './layouts.ts';
import type { Carrier, Change, DeviceDegree, Rewrite, Site } from './model.ts';
import type { Slot } from './slots.ts';
import { plainNote, toneOf } from './sound.ts';

/** A chord a device writes, from `at` to `end`; between cells the written chords stay. */
export interface Cell {
  readonly at: Ticks;
  readonly end: Ticks;
  readonly harmony: Harmony;
}

/** The chord written at a place of the span. */
export function writtenAt(site: Site, at: Ticks): Harmony {
  for (const change of site.written) {
    if (at < change.at + change.length) return change.harmony;
  }
  return site.held;
}

/**
 * The whole span with the cells written into it: no gaps, no overlaps, neighbours with one chord joined.
 * Null when a section start inside the span would lose its written chord, or when nothing changes.
 */
export function compose(site: Site, cells: readonly Cell[]): readonly Change[] | null {
  const changes: Change[] = [];
  let place: Ticks = 0;
  for (const cell of cells) {
    if (cell.at > place) fill(site, changes, place, cell.at);
    push(changes, cell.at, cell.end, cell.harmony);
    place = cell.end;
  }
  if (place < site.length) fill(site, changes, place, site.length);
  if (!keepsSections(site, changes) || unchanged(site, changes)) return null;
  // Cut to size: proposals are remembered as long as the tune is.
  return changes.slice();
}

function push(changes: Change[], at: Ticks, end: Ticks, harmony: Harmony): void {
  const before = changes.at(-1);
  if (before !== undefined && sameChord(before.harmony, harmony)) {
    changes[changes.length - 1] = { ...before, length: end - before.at };
  } else {
    changes.push({ at, length: end - at, harmony });
  }
}

function fill(site: Site, changes: Change[], from: Ticks, to: Ticks): void {
  for (let index = 0; index < site.written.length; index++) {
    const change = site.written[index];
    if (change === undefined) continue;
    const at = Math.max(from, change.at);
    const end = Math.min(to, change.at + change.length);
    if (at < end) push(changes, at, end, change.harmony);
  }
}

function keepsSections(site: Site, changes: readonly Change[]): boolean {
  for (const place of site.keep) {
    const sounding = changes.find(
      (change) => place >= change.at && place < change.at + change.length,
    );
    if (sounding === undefined || !sameChord(sounding.harmony, writtenAt(site, place)))
      return false;
  }
  return true;
}

function unchanged(site: Site, changes: readonly Change[]): boolean {
  if (changes.length !== site.written.length) return false;
  return changes.every((change, i) => {
    const before = site.written[i];
    return (
      before !== undefined && before.at === change.at && sameChord(before.harmony, change.harmony)
    );
  });
}

/** One chord through a slot. */
export function inSlot(slot: Slot, harmony: Harmony): readonly Cell[] {
  return [{ at: slot.at, end: slot.end, harmony }];
}

/** Two chords sharing a slot; the second alone when the slot is too short for two. */
export function sharing(slot: Slot, first: Harmony, second: Harmony): readonly Cell[] {
  if (slot.middle === null) return inSlot(slot, second);
  return [
    { at: slot.at, end: slot.middle, harmony: first },
    { at: slot.middle, end: slot.end, harmony: second },
  ];
}

/** Chords in order along a layout. */
export function along(layout: Layout, chords: readonly Harmony[]): readonly Cell[] {
  return chords.map((harmony, i) => ({
    at: layout.at[i] ?? 0,
    end: layout.at[i + 1] ?? 0,
    harmony,
  }));
}

/** What a device says about one rewrite. */
export interface Statement {
  readonly degree: DeviceDegree;
  /** Figure and place: `iv-m6@b3`. */
  readonly variant: string;
  readonly carrier: Carrier;
  readonly cells: readonly Cell[];
  readonly tells?: Spelled | null;
  readonly home?: Spelled | null;
  readonly reason: string;
}

/** Collects the rewrites of one device at one site, leaving out those that cannot stand there. */
export class Rewrites {
  readonly #byDegree: Readonly<Record<DeviceDegree, Rewrite[]>> = {
    note: [],
    triad: [],
    seventh: [],
    full: [],
  };
  readonly #site: Site;
  readonly #device: DeviceName;

  constructor(site: Site, device: DeviceName) {
    this.#site = site;
    this.#device = device;
  }

  add(statement: Statement): void {
    const changes = compose(this.#site, statement.cells);
    if (changes === null) return;
    const { tells, home } = statement;
    this.#byDegree[statement.degree].push({
      device: this.#device,
      degree: statement.degree,
      variant: statement.variant,
      carrier: statement.carrier,
      changes,
      tells: tells == null ? null : told(statement.cells, tells),
      home: home == null ? null : plainNote(home),
      reason: statement.reason,
    });
  }

  /** What was collected, mildest degree first and otherwise in the order given. */
  get all(): readonly Rewrite[] {
    const { note, triad, seventh, full } = this.#byDegree;
    return [...note, ...triad, ...seventh, ...full];
  }
}

/** The telling note, spelled as the first chord that sounds it does. */
function told(cells: readonly Cell[], tells: Spelled): Spelled {
  for (const { harmony } of cells) {
    const tone = harmony.kind === 'chord' ? toneOf(harmony, tells) : null;
    if (tone !== null) return plainNote(tone);
  }
  return plainNote(tells);
}

/** A chord followed by nothing but itself counts as held: what the whole span is about. */
export function isStretch(site: Site): boolean {
  return site.written.length > 1;
}

/** The chords of a stretch in order, or null when one of them is N.C. */
export function writtenChords(site: Site): readonly Chord[] | null {
  const chords: Chord[] = [];
  for (const change of site.written) {
    if (change.harmony.kind === 'none') return null;
    chords.push(change.harmony);
  }
  return chords;
}
