import { modulo } from '../pitch/spelled.ts';
import type { Chorus } from '../tune/model.ts';
import {
  CLASS,
  type HeardChord,
  heard,
  isDominantClass,
  isMajorClass,
  isMinorClass,
  SILENT,
} from './facts.ts';
import { BLUES } from './weights.ts';

/** Bars of the form. */
const BLUES_BARS = 12;

/** Bars of the form with its last line stretched. */
const STRETCHED_BARS = 16;

/** Chords heard in each twelfth of the form: the first and the last of it. */
interface BarSound {
  readonly first: HeardChord;
  readonly last: HeardChord;
}

/** The twelve bars of a chorus, for each way of reading it as a blues. */
export type BluesReading = readonly (readonly BarSound[])[];

/**
 * The ways a chorus can be read as twelve-bar blues: as one, two, three ... times twelve bars (all must
 * then be blues), with every bar of the form lasting two, or as one of the sixteen-bar forms of
 * {@link sixteen}. Empty when the number of bars allows none.
 */
export function bluesReadings(chorus: Chorus): BluesReading[] {
  const bars = chorus.bars[0]?.number === 0 ? chorus.bars.slice(1) : chorus.bars;
  const stretched = bars.length === STRETCHED_BARS;
  if (bars.length === 0 || (bars.length % BLUES_BARS !== 0 && !stretched)) return [];
  const sounds = barSounds(
    chorus,
    bars.map((bar) => [bar.start, bar.start + bar.length]),
  );
  if (stretched) return sixteen(sounds);
  const times: BarSound[][] = [];
  for (let at = 0; at < sounds.length; at += BLUES_BARS)
    times.push(sounds.slice(at, at + BLUES_BARS));
  return bars.length === 2 * BLUES_BARS ? [times, [doubled(sounds)]] : [times];
}

/**
 * A sixteen-bar blues as twelve: the last line with every bar lasting two, and, where bars 9 and 10 are
 * said three times, said once. Only with I7 or IV7 in it: else any song of sixteen bars that visits its
 * four would do. Common practice, no source.
 */
function sixteen(sounds: readonly BarSound[]): BluesReading[] {
  const isBlue = [sounds[0], sounds[4]].some((sound) =>
    isDominantClass((sound?.first ?? SILENT).class),
  );
  if (!isBlue) return [];
  const lines = sounds.slice(0, 8);
  const thrice = [8, 9].every((bar) => [2, 4].every((by) => sameSound(sounds, bar, bar + by)));
  const readings = [[[...lines, ...doubled(sounds.slice(8))]]];
  if (thrice) readings.push([[...lines, ...sounds.slice(12)]]);
  return readings;
}

function sameSound(sounds: readonly BarSound[], a: number, b: number): boolean {
  return sounds[a]?.first === sounds[b]?.first && sounds[a]?.last === sounds[b]?.last;
}

/** Joins bars by twos. */
function doubled(sounds: readonly BarSound[]): BarSound[] {
  return sounds
    .filter((_, index) => index % 2 === 0)
    .map((sound, index) => ({
      first: sound.first,
      last: sounds[index * 2 + 1]?.last ?? sound.last,
    }));
}

function barSounds(chorus: Chorus, bars: readonly (readonly [number, number])[]): BarSound[] {
  let event = 0;
  const startOf = (index: number): number =>
    chorus.harmony[index]?.start ?? Number.POSITIVE_INFINITY;
  const sound = (index: number): HeardChord => {
    const harmony = chorus.harmony[index]?.harmony;
    return harmony ? heard(harmony) : SILENT;
  };
  return bars.map(([from, to]) => {
    while (startOf(event + 1) <= from) event += 1;
    const first = sound(event);
    while (startOf(event + 1) < to) event += 1;
    return { first, last: sound(event) };
  });
}

/**
 * How well a chorus keeps the fixed points of a blues in a key: 0 not at all, 1 all of them; see
 * {@link BLUES}. Takes the better of its readings, and of a reading in several times twelve the worst.
 *
 * @param readings from {@link bluesReadings}
 * @param tonic sounding tonic 0-11
 */
export function bluesFit(readings: readonly BluesReading[], tonic: number, minor: boolean): number {
  let best = 0;
  for (const times of readings) {
    let worst = 1;
    for (const bars of times) worst = Math.min(worst, twelveFit(bars, tonic, minor));
    best = Math.max(best, worst);
  }
  return best;
}

function twelveFit(bars: readonly BarSound[], tonic: number, minor: boolean): number {
  const at = (bar: number): HeardChord => bars[bar - 1]?.first ?? SILENT;
  const degree = (sound: HeardChord): number =>
    sound.root < 0 ? -1 : modulo(sound.root - tonic, 12);
  if (degree(at(1)) !== 0 || !isHome(at(1), minor)) return 0;
  const four = degree(at(5)) === 5 && isFour(at(5), minor);
  if (!four && !(minor && turnsBySix(at(9), at(10), degree))) return 0;
  const early = [2, 3, 4].filter((bar) => [0, 5].includes(degree(at(bar)))).length;
  const six = [5, 6].includes(degree(at(6)));
  const seven = degree(at(7)) === 0 || degree(at(7)) === 4;
  const home = [at(11), at(12), bars[10]?.last ?? SILENT].some((sound) => degree(sound) === 0);
  return (
    BLUES.base +
    BLUES.early * early +
    (six ? BLUES.six : 0) +
    (seven ? BLUES.seven : 0) +
    turnFit(bars, degree) +
    (home ? BLUES.home : 0) +
    (soundsBlue(at(1), at(5), minor) ? BLUES.sound : 0)
  );
}

/**
 * The mark of a minor blues: the dominants on its sixth and fifth in bars 9 and 10. A form that bears
 * it may say something else for the four. Common practice, no source.
 */
function turnsBySix(
  nine: HeardChord,
  ten: HeardChord,
  degree: (sound: HeardChord) => number,
): boolean {
  const dominants = nine.class === CLASS.dom && ten.class === CLASS.dom;
  return dominants && degree(nine) === 8 && degree(ten) === 7;
}

/** Bars 9 and 10: the dominant, or the two that stands for it. */
function turnFit(bars: readonly BarSound[], degree: (sound: HeardChord) => number): number {
  const nine = bars[8]?.first ?? SILENT;
  const ten = bars[9]?.first ?? SILENT;
  const five = [nine, ten].some((sound) => degree(sound) === 7 && !isMinorClass(sound.class));
  if (five) return BLUES.five;
  const two = [nine, ten].some((sound) => degree(sound) === 2);
  return two ? BLUES.twoOnly : 0;
}

/** I7 or IV7; in minor the small one and four. */
function soundsBlue(one: HeardChord, four: HeardChord, minor: boolean): boolean {
  if (minor) return isMinorClass(one.class) && isMinorClass(four.class);
  return isDominantClass(one.class) || isDominantClass(four.class);
}

function isHome(sound: HeardChord, minor: boolean): boolean {
  return minor
    ? isMinorClass(sound.class)
    : isMajorClass(sound.class) || isDominantClass(sound.class);
}

function isFour(sound: HeardChord, minor: boolean): boolean {
  const open = isMajorClass(sound.class) || isDominantClass(sound.class);
  return minor ? isMinorClass(sound.class) || open : open;
}
