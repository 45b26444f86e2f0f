import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import { around, chordAt, nextIndex, recognition, wrap } from './circle.ts';
import { beatsIn } from './grid.ts';
import { homeNext, standingOf } from './home.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { awaySlots, pairSlots, type Slot } from './slots.ts';
import { chordIn, nearRoot, note, semitonesUp, symbol, twoFive, UP } from './sound.ts';
import { inSlot, Rewrites, sharing } from './write.ts';

const NAME = 'side-step';

/** Longest step outside, in counted beats: any longer and it is a new key. Common practice, no source. */
const LONGEST_BEATS = 4;

/** The plain triad of the held chord's kind. */
function triadSuffix(held: Chord): string {
  switch (held.quality.family) {
    case 'minor':
      return 'm';
    case 'half-diminished':
      return 'dim';
    case 'suspended':
      return 'sus4';
    default:
      return '';
  }
}

function short(site: Site, slot: Slot): boolean {
  return beatsIn(site, slot.at, slot.end) <= LONGEST_BEATS;
}

function propose(site: Site): readonly Rewrite[] {
  if (standingOf(site) === 'other') return [];
  const rewrites = new Rewrites(site, NAME);
  const slots = awaySlots(site, homeNext(site)).filter((slot) => short(site, slot));
  const { held } = site;
  const up = held.root + UP.flatTwo;
  const down = nearRoot(site.key, held.root + UP.seven, held);
  slots.slice(0, 2).forEach((slot) => {
    step(site, rewrites, slot, up, 'triad', 'up', triadSuffix(held));
  });
  slots.forEach((slot, i) => {
    step(site, rewrites, slot, up, 'seventh', 'up', held.quality.suffix);
    if (i === 0) step(site, rewrites, slot, down, 'seventh', 'down', held.quality.suffix);
  });
  proposeWithTwo(site, rewrites);
  return rewrites.all;
}

/** The whole chord a semitone off and back. */
function step(
  site: Site,
  rewrites: Rewrites,
  slot: Slot,
  root: number,
  degree: 'triad' | 'seventh',
  way: 'up' | 'down',
  suffix: string,
): void {
  if (degree === 'triad' && suffix === site.held.quality.suffix) return;
  const outside = chordIn(site, root, suffix);
  const back = way === 'up' ? 'falls back a semitone' : 'climbs back a semitone';
  rewrites.add({
    degree,
    variant: `${way}-${suffix || 'major'}@${slot.id}`,
    carrier: degree === 'triad' ? 'soloist' : 'either',
    tells: outside.root,
    home: site.held.root,
    cells: inSlot(slot, outside),
    reason: `Step outside ${way} a semitone: every voice of ${symbol(outside)} ${back}, ${note(outside.root)} to ${note(site.held.root)} first of all.`,
  });
}

/** Outside with its two: the two and five a semitone up, which a soloist spells over an unmoved chord. */
function proposeWithTwo(site: Site, rewrites: Rewrites): void {
  const { family } = site.held.quality;
  if (family !== 'minor' && family !== 'major') return;
  const two = site.held.root + (family === 'minor' ? UP.flatTwo : UP.flatThree);
  const [ii, v] = twoFive(site, two, ['m7', '7']);
  for (const slot of pairSlots(site, homeNext(site)).slice(0, 2)) {
    if (!short(site, slot)) continue;
    rewrites.add({
      degree: 'full',
      variant: `up-ii-V@${slot.id}`,
      carrier: 'soloist',
      tells: ii.root,
      home: family === 'minor' ? site.held.root : site.held.root + UP.two,
      cells: sharing(slot, ii, v),
      reason: `Two-five a semitone up and home again: ${symbol(ii)} ${symbol(v)} lies outside from ${note(ii.root)} to ${note(v.root)}, and it all drops back a semitone.`,
    });
  }
}

/** One kind of chord a semitone off, with the same chord before and after. */
function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null || seen.previous === null) return null;
  const { here, next, previous } = seen;
  const pair = inTwoFive(chords, index);
  if (pair !== null) return pair;
  if (here.quality !== next.quality || semitonesUp(previous.root, next.root) !== 0) return null;
  const off = semitonesUp(next.root, here.root);
  if (off !== 1 && off !== 11) return null;
  if (previous.quality !== next.quality) return null;
  // Held long enough to be a home of its own, it is no step aside.
  if (seen.reading.function === 'home') return null;
  return recognition(NAME, index, seen.nextAt, null, 'passing', 0.3);
}

/** Two and five of the key a semitone above or below, with the held chord before and after both. */
function inTwoFive(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null || seen.previous === null) return null;
  const first = seen.here.quality.family === 'dominant' ? seen.previousAt : wrap(chords, index);
  const pair = around(chords, first);
  if (pair === null || pair.next === null || pair.previous === null) return null;
  if (pair.here.quality.family !== 'minor' || pair.next.quality.family !== 'dominant') return null;
  if (semitonesUp(pair.here.root, pair.next.root) !== 5) return null;
  const homeAt = nextIndex(chords, pair.nextAt);
  const home = homeAt === null ? null : chordAt(chords, homeAt);
  if (home === null || !sameChord(home, pair.previous)) return null;
  const off = semitonesUp(home.root, pair.here.root);
  const outside = home.quality.family === 'minor' ? [1, 11] : [1, 3];
  if (home.quality.family !== 'minor' && home.quality.family !== 'major') return null;
  if (!outside.includes(off)) return null;
  const two = first === wrap(chords, index);
  return recognition(NAME, index, two ? pair.nextAt : homeAt, null, 'passing', 0.35);
}

/** The whole chord a semitone up (or down) and back. */
export const sideStep: Device = {
  name: NAME,
  label: 'Side-step',
  definition:
    'The held chord moves a semitone up (also: down) as it stands and comes home on a strong beat, after one to four beats. A soloist may do it over an unmoved chord; the long form is the two-five a semitone up.',
  source:
    'Wikipedia, Outside (jazz), section Side-slipping, citing J. Coker 1984 and M. Levine 1995; the half-step rule of Jazzing up the blues, part 1 (gitbuddy.wordpress.com) allows a semitone below. The whole chord up and back is common practice.',
  usual: { minor: 0.95, 'minor-home': 0.9, dominant: 0.85, blues: 0.85, elsewhere: 0.8 },
  propose,
  recognise,
  examples: [
    {
      key: 'D minor',
      before: '| Dm7 | Dm7 |',
      after: '| Dm7 Ebm7 | Dm7 |',
      source: 'Wikipedia, Outside (jazz), Side-slipping',
    },
    {
      key: 'Bb minor',
      before: '| Bbm7 | Bbm7 | Bbm7 | Bbm7 |',
      after: '| Bbm7 | Bbm7 | Bm7 | Bbm7 |',
      source: 'Wikipedia, Outside (jazz), Side-slipping',
    },
    {
      key: 'Eb major',
      before: '| Ebmaj7 | Ebmaj7 |',
      after: '| Ebmaj7 Emaj7 | Ebmaj7 |',
      source: 'Wikipedia, Outside (jazz), Side-slipping',
    },
  ],
};
