import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { chordAt, nextIndex, previousIndex, recognition, wrap } from './circle.ts';
import { gridOf } from './grid.ts';
import { homeNext, standingOf } from './home.ts';
import { spread } from './layouts.ts';
import type { Change, Device, Rewrite, Site } from './model.ts';
import { leadPairs } from './slots.ts';
import { chordIn, note, semitonesUp, symbol, UP } from './sound.ts';
import { chordAs, rowIn } from './spelling.ts';
import { along, type Cell, isStretch, Rewrites, sharing, writtenChords } from './write.ts';

const NAME = 'major-thirds-cycle';

/** The cycle after its first chord: each new home a major third lower, behind its own dominant. */
const CYCLE: readonly (readonly [number, string])[] = [
  [UP.flatThree, '7'],
  [UP.flatSix, 'maj7'],
  [UP.seven, '7'],
  [UP.three, 'maj7'],
  [UP.five, '7'],
];

function propose(site: Site): readonly Rewrite[] {
  const rewrites = new Rewrites(site, NAME);
  if (isStretch(site)) {
    proposeOnTwoFive(site, rewrites);
  } else if (standingOf(site) === 'major') {
    proposeOnHome(site, rewrites);
  }
  return rewrites.all;
}

/** The five chords of the cycle over three bars from `at`, after a first chord that keeps half a bar. */
function cycleCells(site: Site, home: number, firstBar: number): readonly Cell[] | null {
  const { lines, halves } = gridOf(site);
  const start = lines[firstBar];
  const end = lines[firstBar + 3];
  if (start === undefined || end === undefined) return null;
  const places = halves.filter((place) => place >= start && place <= end);
  if (places.length !== 7) return null;
  return cycleChords(site, home).map((harmony, i) => ({
    at: places[i + 1] ?? 0,
    end: places[i + 2] ?? 0,
    harmony,
  }));
}

/** The five chords, each dominant spelled with the home it goes to: Bb7 before Ebmaj7, also in B. */
function cycleChords(site: Site, home: number): readonly Chord[] {
  return rowIn(
    site,
    CYCLE.map(([up, suffix]) => [home + up, suffix]),
  );
}

function reasonFor(site: Site, home: number): string {
  const [, flatSix, , three] = cycleChords(site, home);
  const roots = [flatSix, three].map((chord) => (chord === undefined ? '' : note(chord.root)));
  return `Home falls round by major thirds, ${note(home)}, ${roots.join(', ')} and ${note(home)} again, each behind its own dominant.`;
}

/** Over four bars of home: the first three bars go round, the fourth is home. In longer spans the last four bars. */
function proposeOnHome(site: Site, rewrites: Rewrites): void {
  const home = site.held.root;
  const { bars, endsOnLine } = gridOf(site);
  if (bars >= 4 && endsOnLine) {
    const cells = cycleCells(site, home, bars - 4);
    if (cells !== null) {
      rewrites.add({
        degree: 'full',
        variant: `with-dominants@b${bars - 3}`,
        carrier: 'band',
        tells: home + UP.flatSix,
        home: home + UP.five,
        cells,
        reason: reasonFor(site, home),
      });
    }
  }
  proposePlain(site, rewrites, home);
  proposeShort(site, rewrites, home);
}

/** The homes alone, without their dominants. */
function proposePlain(site: Site, rewrites: Rewrites, home: number): void {
  const layout = spread(site, 4);
  if (layout === null || (layout.id === 'halves' && !homeNext(site))) return;
  for (const [degree, suffix] of [
    ['triad', ''],
    ['seventh', 'maj7'],
  ] as const) {
    // All forms take the roots of the whole cycle: Eb in B, not D#.
    const [, sixth, , third] = cycleChords(site, home);
    const [flatSix, three] = [sixth, third].map((of) => of && chordAs(of.root, suffix));
    if (flatSix === undefined || three === undefined) return;
    rewrites.add({
      degree,
      variant: `homes-${suffix || 'triads'}@${layout.id}`,
      carrier: 'either',
      tells: home + UP.flatSix,
      home: home + UP.five,
      cells: along(layout, [site.held, flatSix, three, site.held]),
      reason: `Major chords a major third apart, ${symbol(flatSix)} and ${symbol(three)}, between two homes: ${note(home)} and its thirds, no dominants.`,
    });
  }
}

/** In two or three bars there is time for one station only: flat six behind nothing, then the dominant of home. */
function proposeShort(site: Site, rewrites: Rewrites, home: number): void {
  if (!homeNext(site) || gridOf(site).bars > 3) return;
  const [, flatSix] = cycleChords(site, home);
  if (flatSix === undefined) return;
  const five = chordIn(site, home + UP.five, '7');
  for (const slot of leadPairs(site).slice(0, 1)) {
    rewrites.add({
      degree: 'seventh',
      variant: `one-station@${slot.id}`,
      carrier: 'band',
      tells: home + UP.flatSix,
      home: home + UP.five,
      cells: sharing(slot, flatSix, five),
      reason: `One station of the cycle of thirds: ${symbol(flatSix)}, then ${symbol(five)} brings home; ${note(flatSix.root)} falls to ${note(five.root)}.`,
    });
  }
}

/** Over a written two-five-one of four bars: two keeps its half bar, home its last bar. */
function proposeOnTwoFive(site: Site, rewrites: Rewrites): void {
  const chords = writtenChords(site);
  const { bars, endsOnLine, lines } = gridOf(site);
  if (chords === null || chords.length !== 3 || bars !== 4 || !endsOnLine) return;
  const [two, five, one] = chords;
  if (two === undefined || five === undefined || one === undefined) return;
  const starts = site.written.map((change) => change.at);
  const even = starts[1] === lines[1] && starts[2] === lines[2];
  const twoFive = two.quality.family === 'minor' && semitonesUp(two.root, five.root) === 5;
  if (!even || !twoFive || one.quality.family !== 'major') return;
  if (five.quality.family !== 'dominant' || semitonesUp(five.root, one.root) !== 5) return;
  const cells = cycleCells(site, one.root, 0);
  if (cells === null) return;
  rewrites.add({
    degree: 'full',
    variant: 'two-five-one',
    carrier: 'band',
    tells: one.root + UP.flatSix,
    home: one.root + UP.five,
    cells,
    reason: reasonFor(site, one.root),
  });
}

/** The chord of the cycle that stands at `index`, counted from 0 (V of flat six) to 4 (V of home); null outside it. */
function station(chords: readonly ChordReading[], index: number): number | null {
  for (let place = 0; place < CYCLE.length; place += 1) {
    const first = back(chords, index, place);
    if (first !== null && isCycle(chords, first)) return place;
  }
  return null;
}

function back(chords: readonly ChordReading[], index: number, steps: number): number | null {
  let at: number | null = wrap(chords, index);
  for (let k = 0; k < steps && at !== null; k += 1) at = previousIndex(chords, at);
  return at;
}

/** Whether the five chords from `first` are the cycle and lead to its home. */
function isCycle(chords: readonly ChordReading[], first: number): boolean {
  const start = chordAt(chords, first);
  if (start === null) return false;
  const home = start.root - UP.flatThree;
  let at: number | null = first;
  for (const [up, suffix] of CYCLE) {
    const chord: Chord | null = at === null ? null : chordAt(chords, at);
    if (chord === null || semitonesUp(home + up, chord.root) !== 0) return false;
    const family = suffix === '7' ? 'dominant' : 'major';
    if (chord.quality.family !== family) return false;
    at = at === null ? null : nextIndex(chords, at);
  }
  const arrival = at === null ? null : chordAt(chords, at);
  return (
    arrival !== null && arrival.quality.family === 'major' && semitonesUp(home, arrival.root) === 0
  );
}

function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const place = station(chords, index);
  const next = nextIndex(chords, index);
  if (place === null || next === null) return null;
  const dominant = place % 2 === 0;
  return recognition(
    NAME,
    index,
    dominant ? next : null,
    ['V7/bVI', 'bVImaj7', 'V7/III', 'IIImaj7', 'V7'][place] ?? null,
    dominant ? 'dominant' : 'departure',
    0.1,
  );
}

/** Two in half a bar, the five chords of the cycle and home: a bar of two, a bar of five, the rest home. */
function plainer(window: readonly Change[]): readonly (readonly Change[])[] {
  const [two, b] = window;
  const five = window[5];
  const home = window[6];
  if (two === undefined || b === undefined || five === undefined || home === undefined) return [];
  const bar = two.length + b.length;
  return [
    [
      { at: 0, length: bar, harmony: two.harmony },
      { at: bar, length: bar, harmony: five.harmony },
      { at: 2 * bar, length: home.at + home.length - 2 * bar, harmony: home.harmony },
    ],
  ];
}

/** Homes a major third apart, each behind its dominant. */
export const majorThirdsCycle: Device = {
  name: NAME,
  label: 'Cycle of major thirds',
  definition:
    'Home, the major chord a major third below it, the one a third below that and home again, each behind its own dominant seventh, in four bars; over a written two-five-one the two keeps its place. The milder forms leave the dominants out, or call at one station only.',
  source:
    'Wikipedia, Coltrane changes, citing D. Demsey 1991. The forms without dominants and with one station are common practice, no source.',
  usual: { elsewhere: 0.2 },
  propose,
  recognise,
  plainer,
  examples: [
    {
      key: 'C major',
      before: '| Dm7 | G7 | Cmaj7 | Cmaj7 |',
      after: '| Dm7 Eb7 | Abmaj7 B7 | Emaj7 G7 | Cmaj7 |',
      source: 'Wikipedia, Coltrane changes, citing D. Demsey 1991',
    },
    {
      key: 'Eb major',
      before: '| Ebmaj7 | Ebmaj7 | Ebmaj7 | Ebmaj7 |',
      after: '| Ebmaj7 Gb7 | Bmaj7 D7 | Gmaj7 Bb7 | Ebmaj7 |',
      source: 'Wikipedia, Coltrane changes, citing D. Demsey 1991',
    },
    {
      key: 'D major',
      before: '| Em7 | A7 | Dmaj7 | Dmaj7 |',
      after: '| Em7 F7 | Bbmaj7 C#7 | F#maj7 A7 | Dmaj7 |',
      source: 'Wikipedia, Coltrane changes, citing D. Demsey 1991',
    },
  ],
};
