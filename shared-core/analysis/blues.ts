import { modulo } from '../pitch/spelled.ts';
import type { Chorus } from '../tune/model.ts';
import { type HeardChord, heard, isDominantClass, isMajorClass, isMinorClass } from './facts.ts';

/** Bars of the form. */
const BLUES_BARS = 12;

/** First and last chord heard in each bar. */
interface BarSound {
  readonly first: HeardChord;
  readonly last: HeardChord;
}

/**
 * How well a chorus keeps the fixed points of a twelve-bar blues in a key: 0 not at all, 1 all of them.
 * Bar 1 the tonic, bar 5 the four, bar 9 or 10 the dominant (or its substitute), bar 11 home.
 * A chorus of 24, 36 ... bars is read as so many times twelve. Source: the fixed points on which the
 * published forms agree (OnMusic Dictionary, "12-bar minor blues"; Jacobs 2011 in "Bird changes").
 */
export function bluesFit(chorus: Chorus, tonic: number, minor: boolean): number {
  const bars = chorus.bars;
  if (bars.length === 0 || bars.length % BLUES_BARS !== 0) return 0;
  let least = 1;
  for (let start = 0; start < bars.length; start += BLUES_BARS) {
    const times = barSounds(chorus, start);
    least = Math.min(least, twelveFit(times, tonic, minor));
    if (least === 0) return 0;
  }
  return least;
}

function barSounds(chorus: Chorus, start: number): BarSound[] {
  const list: BarSound[] = [];
  let event = 0;
  for (let bar = start; bar < start + BLUES_BARS; bar += 1) {
    const from = chorus.bars[bar]?.start ?? 0;
    const to = from + (chorus.bars[bar]?.length ?? 0);
    while ((chorus.harmony[event + 1]?.start ?? Number.POSITIVE_INFINITY) <= from) event += 1;
    let lastEvent = event;
    while ((chorus.harmony[lastEvent + 1]?.start ?? Number.POSITIVE_INFINITY) < to) lastEvent += 1;
    list.push({ first: soundOf(chorus, event), last: soundOf(chorus, lastEvent) });
  }
  return list;
}

function soundOf(chorus: Chorus, event: number): HeardChord {
  const harmony = chorus.harmony[event]?.harmony;
  return harmony ? heard(harmony) : { root: -1, class: 0 };
}

function twelveFit(bars: readonly BarSound[], tonic: number, minor: boolean): number {
  const degree = (sound: HeardChord | undefined): number =>
    sound && sound.root >= 0 ? modulo(sound.root - tonic, 12) : -1;
  const at = (bar: number): HeardChord | undefined => bars[bar - 1]?.first;
  const home = (bar: number): boolean => degree(at(bar)) === 0 && isHome(at(bar), minor);
  const four = degree(at(5)) === 5 && isFour(at(5), minor);
  if (!home(1) || !four) return 0;
  const five = [9, 10].some((bar) => degree(at(bar)) === 7 && !isMinorClass(at(bar)?.class ?? 0));
  const closing = degree(at(11)) === 0 || degree(at(12)) === 0 || degree(bars[10]?.last) === 0;
  if (!five || !closing) return 0;
  const early = [2, 3, 4].filter((bar) => [0, 5].includes(degree(at(bar)))).length;
  const seven = [0, 4, 3].includes(degree(at(7))) ? 1 : 0;
  const mode = modeVotes(bars, tonic, minor);
  return 0.5 + 0.1 * early + 0.1 * seven + 0.1 * mode;
}

/** Whether the tonic chords speak for the mode. */
function modeVotes(bars: readonly BarSound[], tonic: number, minor: boolean): number {
  let votes = 0;
  for (const { first } of bars) {
    if (first.root !== tonic) continue;
    votes += isMinorClass(first.class) === minor ? 1 : -1;
  }
  return votes > 0 ? 1 : 0;
}

function isHome(sound: HeardChord | undefined, minor: boolean): boolean {
  if (!sound) return false;
  return minor
    ? isMinorClass(sound.class)
    : isMajorClass(sound.class) || isDominantClass(sound.class);
}

function isFour(sound: HeardChord | undefined, minor: boolean): boolean {
  if (!sound) return false;
  const open = isMajorClass(sound.class) || isDominantClass(sound.class);
  return minor ? isMinorClass(sound.class) || open : open;
}
