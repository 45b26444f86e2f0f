import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { around, chordAt, degreeOf, nextIndex, numeralOf, recognition } from './circle.ts';
import { homeNext, isTonic, resolves, standingOf } from './home.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { awaySlots, leadPairs, leadTails, pairSlots } from './slots.ts';
import { chordIn, note, semitonesUp, symbol, toneIn, twoFive, UP } from './sound.ts';
import { splitsWith } from './split.ts';
import { inSlot, isStretch, Rewrites, sharing } from './write.ts';

const NAME = 'backdoor';

/**
 * The backdoor before three, which stands for home. Without a goal of its own, so that it says nothing
 * about what leads to what; and so likely that the substitute of the dominant after three, which is the
 * same chord, does not take its name.
 */
const BEFORE_THREE = -0.4;

function fits(site: Site): boolean {
  const standing = standingOf(site);
  return (
    standing === 'major' || standing === 'minor-home' || (standing === 'blues' && isTonic(site))
  );
}

function propose(site: Site): readonly Rewrite[] {
  const rewrites = new Rewrites(site, NAME);
  if (fits(site)) proposeInside(site, rewrites);
  proposeIntoNext(site, rewrites);
  return rewrites.all;
}

/** Into the chord that follows, where it is another home: the end of the stretch goes in by its backdoor. */
function proposeIntoNext(site: Site, rewrites: Rewrites): void {
  const { next, held, key } = site;
  if (next === null || isStretch(site) || homeNext(site)) return;
  const { family } = next.quality;
  if (family !== 'major' && !(family === 'dominant' && semitonesUp(key.tonic, next.root) === 0)) {
    return;
  }
  const five = chordIn(site, next.root + UP.flatSeven, '7');
  if (semitonesUp(held.root, five.root) === 0) {
    proposeTwoOfHeld(site, rewrites, next);
    return;
  }
  const told = { tells: toneIn(five, next.root + UP.flatSix), home: next.root + UP.five };
  const falls = `${note(told.tells)} falls to ${note(told.home)}, and the root climbs a whole tone, ${note(five.root)} to ${note(next.root)}`;
  for (const slot of leadTails(site)) {
    rewrites.add({
      ...told,
      degree: 'seventh',
      variant: `into-next@${slot.id}`,
      carrier: 'either',
      cells: inSlot(slot, five),
      reason: `Into ${symbol(next)} by its backdoor: ${falls}.`,
    });
  }
  const [two, itsFive] = twoFive(site, next.root + UP.four, ['m7', '7']);
  if (held.quality.family === 'minor' && semitonesUp(held.root, two.root) === 0) return;
  for (const slot of leadPairs(site)) {
    rewrites.add({
      ...told,
      degree: 'full',
      variant: `into-next-with-two@${slot.id}`,
      carrier: 'band',
      cells: sharing(slot, two, itsFive),
      reason: `Into ${symbol(next)} by its backdoor with the two, ${symbol(two)} ${symbol(itsFive)}: ${falls}.`,
    });
  }
}

/** The backdoor dominant is held already: its two shares its time. */
function proposeTwoOfHeld(site: Site, rewrites: Rewrites, next: Chord): void {
  const { held } = site;
  if (held.quality.family !== 'dominant') return;
  const two = chordIn(site, held.root + UP.five, 'm7');
  const told = { tells: next.root + UP.flatSix, home: next.root + UP.five };
  for (const { id, cells } of splitsWith(site, two, held)) {
    rewrites.add({
      ...told,
      degree: 'full',
      variant: `its-two@${id}`,
      carrier: 'either',
      cells,
      reason: `The backdoor brings its two, ${symbol(two)} ${symbol(held)}: ${note(told.tells)} hangs over both and falls to ${note(told.home)} of ${symbol(next)}.`,
    });
  }
}

/** On a stretch of home. */
function proposeInside(site: Site, rewrites: Rewrites): void {
  const root = site.held.root;
  const five = chordIn(site, root + UP.flatSeven, '7');
  const told = { tells: toneIn(five, root + UP.flatSix), home: root + UP.five };
  const fourth = note(toneIn(five, root + UP.four));
  const third = standingOf(site) === 'minor-home' ? root + UP.flatThree : root + UP.three;
  const falls = `${note(told.tells)} falls to ${note(told.home)} and ${fourth} to ${note(third)}, while the root climbs a whole tone, ${note(five.root)} to ${note(root)}`;
  awaySlots(site, homeNext(site)).forEach((slot, i) => {
    if (i === 0) {
      rewrites.add({
        degree: 'triad',
        variant: `bVII@${slot.id}`,
        carrier: 'either',
        tells: five.root,
        home: root,
        cells: inSlot(slot, chordIn(site, five.root, '')),
        reason: `The triad a whole tone below and back up: ${note(five.root)} climbs to ${note(root)}, ${fourth} falls to ${note(third)}.`,
      });
    }
    for (const suffix of i === 0 ? ['7', '9'] : ['7']) {
      rewrites.add({
        ...told,
        degree: 'seventh',
        variant: `bVII${suffix}@${slot.id}`,
        carrier: 'either',
        cells: inSlot(slot, chordIn(site, five.root, suffix)),
        reason: `In by the backdoor: ${falls}.`,
      });
    }
  });
  proposeWithTwo(site, rewrites, falls);
}

/** The backdoor with its two, the minor seventh on four. */
function proposeWithTwo(site: Site, rewrites: Rewrites, falls: string): void {
  const root = site.held.root;
  const [two, five] = twoFive(site, root + UP.four, ['m7', '7']);
  for (const slot of pairSlots(site, homeNext(site))) {
    rewrites.add({
      tells: root + UP.flatSix,
      home: root + UP.five,
      degree: 'full',
      variant: `iv-bVII7@${slot.id}`,
      carrier: 'band',
      cells: sharing(slot, two, five),
      reason: `In by the backdoor with its two, ${symbol(two)} ${symbol(five)}: ${falls}.`,
    });
  }
}

/** Whether the dominant at `index` goes up a whole tone to a chord that is home, or that it came from. */
function goesIn(chords: readonly ChordReading[], index: number): number | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null || seen.here.quality.family !== 'dominant') return null;
  const { here, next } = seen;
  if (semitonesUp(here.root, next.root) !== 2) return null;
  const { family } = next.quality;
  return family === 'major' || family === 'dominant' || family === 'minor' ? seen.nextAt : null;
}

function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null) return null;
  const to = goesIn(chords, index);
  if (to !== null) {
    const home = degreeOf(seen.reading, seen.next) === 0;
    const major = seen.next.quality.family !== 'minor';
    const roman = home ? 'bVII7' : `bVII7/${numeralOf(seen.reading, seen.next)}`;
    return recognition(NAME, index, to, roman, 'dominant', home && major ? 0.3 : home ? 0.7 : 1.1);
  }
  if (seen.here.quality.family === 'dominant') return withoutHome(chords, seen.previousAt, index);
  const two =
    seen.here.quality.family === 'minor' && semitonesUp(seen.here.root, seen.next.root) === 5;
  if (!two) return null;
  if (goesIn(chords, seen.nextAt) === null) return withoutHome(chords, index, index);
  const after = nextIndex(chords, seen.nextAt);
  const home = after === null ? null : chordAt(chords, after);
  if (home === null || home.quality.family === 'minor') return null;
  return recognition(NAME, index, seen.nextAt, 'iv7', 'departure', 0.4);
}

/**
 * Four minor and flat seven of a major key that do not come home: to three, which stands for home, back to
 * four minor, or on to something else. Where the dominant falls a fifth or a semitone it is another device.
 *
 * @param two index of the four minor
 * @param asked index of the chord that is asked about: the two, or its five
 */
function withoutHome(
  chords: readonly ChordReading[],
  two: number,
  asked: number,
): Recognition | null {
  const pair = around(chords, two);
  if (pair === null || pair.next === null || pair.reading.localKey.mode !== 'major') return null;
  const { here, next, nextAt, reading } = pair;
  if (here.quality.family !== 'minor' || next.quality.family !== 'dominant') return null;
  if (degreeOf(reading, here) !== 5 || degreeOf(reading, next) !== 10) return null;
  const afterAt = nextIndex(chords, nextAt);
  const after = afterAt === null ? null : chordAt(chords, afterAt);
  if (after === null || resolves(next, after)) return null;
  if (asked === two) return recognition(NAME, two, nextAt, 'iv7', 'departure', 0.5);
  const three = degreeOf(reading, after) === 4 && after.quality.family === 'minor';
  return recognition(NAME, asked, null, 'bVII7', 'dominant', three ? BEFORE_THREE : 0.4);
}

/** The dominant a whole tone below home, alone or with its two. */
export const backdoor: Device = {
  name: NAME,
  label: 'Backdoor',
  definition:
    'A dominant seventh whose root lies a whole tone below home goes home from behind: flat six falls to five, four falls to three. The full form brings its two, the minor seventh on four.',
  source:
    'Wikipedia, Backdoor progression, citing J. Coker 1997 and K. Juusela 2015; How to master the backdoor jazz chord progression (learnjazzstandards.com).',
  usual: { major: 0.9, elsewhere: 0.75 },
  propose,
  recognise,
  examples: [
    {
      key: 'F major',
      before: '| Fmaj7 | Fmaj7 |',
      after: '| Fmaj7 Eb7 | Fmaj7 |',
      source: 'Wikipedia, Backdoor progression',
    },
    {
      key: 'A major',
      before: '| Amaj7 | Amaj7 | Amaj7 | Amaj7 |',
      after: '| Amaj7 | Amaj7 | G7 | Amaj7 |',
      source: 'Wikipedia, Backdoor progression',
    },
    {
      key: 'Eb major',
      before: '| Ebmaj7 | Ebmaj7 |',
      after: '| Ebmaj7 | Abm7 Db7 |',
      next: 'Ebmaj7',
      source: 'learnjazzstandards.com, the backdoor chord progression',
    },
    {
      key: 'C major',
      before: '| Cmaj7 | Cmaj7 | Cmaj7 | Cmaj7 |',
      after: '| Cmaj7 | Fm7 | Bb7 | Cmaj7 |',
      source: 'Wikipedia, Backdoor progression',
    },
  ],
};
