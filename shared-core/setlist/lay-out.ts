import type { Key } from '../pitch/key.ts';
import { beatTicks, type Meter, TICKS_PER_QUARTER, type Ticks } from '../time/meter.ts';
import { secondsOf } from './duration.ts';
import { type FlowSide, flowWords, soundAlike } from './flow.ts';

/** One tune of a set, as far as its place in the set is concerned. */
export interface SetEntry {
  readonly key: Key;
  readonly meter: Meter;
  /** Counted beats a minute. */
  readonly tempo: number;
  /** False when no tempo is written and a usual one was taken. */
  readonly tempoGiven: boolean;
  readonly feel: string | null;
  readonly choruses: number;
  readonly chorusLength: Ticks;
  /** Seconds of talk or applause after it. */
  readonly pause: number;
}

/** An entry in its place. Times are seconds. */
export interface PlacedEntry {
  /** From the start of the set to its downbeat. */
  readonly startsAt: number;
  /** Without the pause after it. */
  readonly seconds: number;
  /** How it follows the entry before; null for the first, and where a remark says that both sound alike. */
  readonly flow: string | null;
  /** What the leader may want to think over. */
  readonly remarks: readonly string[];
}

/** A set laid out in time. */
export interface LaidOutSet {
  readonly entries: readonly PlacedEntry[];
  /** The whole set with its pauses, the one after the last tune left out. */
  readonly seconds: number;
}

/** Neighbours in one key after which an audience hears no new colour (an estimate from playing, no source). */
const KEY_RUN = 3;

/** Times, flow and remarks of a set in its order. Repeats are part of a chorus' length; a count-in is not counted. */
export function layOutSet(entries: readonly SetEntry[]): LaidOutSet {
  let now = 0;
  let end = 0;
  const placed = entries.map((entry, index) => {
    const seconds = playingTime(entry);
    const startsAt = now;
    end = startsAt + seconds;
    now = end + entry.pause;
    return { startsAt, seconds, flow: flowOf(entries, index), remarks: remarksOf(entries, index) };
  });
  return { entries: placed, seconds: end };
}

/** Seconds an entry plays: its choruses at its tempo. */
export function playingTime(entry: SetEntry): number {
  return secondsOf(entry.choruses * entry.chorusLength, beatTicks(entry.meter), entry.tempo);
}

function sideOf(entry: SetEntry): FlowSide {
  const quarterBpm = (entry.tempo * beatTicks(entry.meter)) / TICKS_PER_QUARTER;
  return { key: entry.key, quarterBpm, feel: entry.feel };
}

function flowOf(entries: readonly SetEntry[], index: number): string | null {
  const [before, entry] = [entries[index - 1], entries[index]];
  if (!before || !entry || soundAlike(sideOf(before), sideOf(entry))) return null;
  return flowWords(sideOf(before), sideOf(entry));
}

function remarksOf(entries: readonly SetEntry[], index: number): readonly string[] {
  const [before, entry] = [entries[index - 1], entries[index]];
  if (!entry) return [];
  const remarks: string[] = [];
  if (!entry.tempoGiven) remarks.push(`no tempo is written; timed at ${entry.tempo}`);
  if (before && soundAlike(sideOf(before), sideOf(entry))) {
    remarks.push('same key, tempo and feel as the tune before');
  }
  if (keyRun(entries, index) === KEY_RUN) remarks.push(`${KEY_RUN} tunes in a row in this key`);
  return remarks;
}

function keyRun(entries: readonly SetEntry[], index: number): number {
  const key = entries[index]?.key;
  let run = 0;
  for (let at = index; at >= 0; at--) {
    const other = entries[at]?.key;
    if (!key || !other || other.tonic !== key.tonic || other.mode !== key.mode) break;
    run += 1;
  }
  return run;
}
