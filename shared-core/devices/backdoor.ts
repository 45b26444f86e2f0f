import type { ChordReading, Recognition } from '../analysis/model.ts';
import { around, chordAt, degreeOf, nextIndex, numeralOf, recognition } from './circle.ts';
import { homeNext, isTonic, standingOf } from './home.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { awaySlots, leadPairs, leadTails, pairSlots } from './slots.ts';
import { chordIn, note, semitonesUp, symbol, toneIn, twoFive, UP } from './sound.ts';
import { inSlot, isStretch, Rewrites, sharing } from './write.ts';

const NAME = 'backdoor';

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
  if (semitonesUp(held.root, five.root) === 0) return;
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
  const two =
    seen.here.quality.family === 'minor' && semitonesUp(seen.here.root, seen.next.root) === 5;
  if (!two || goesIn(chords, seen.nextAt) === null) return null;
  const after = nextIndex(chords, seen.nextAt);
  const home = after === null ? null : chordAt(chords, after);
  if (home === null || home.quality.family === 'minor') return null;
  return recognition(NAME, index, seen.nextAt, 'iv7', 'departure', 0.4);
}

/** The dominant a whole tone below home, alone or with its two. */
export const backdoor: Device = {
  name: NAME,
  label: 'Backdoor',
  definition:
    'A dominant seventh whose root lies a whole tone below home goes home from behind: flat six falls to five, four falls to three. The full form brings its two, the minor seventh on four.',
  source:
    'Wikipedia, Backdoor progression, citing J. Coker 1997 and K. Juusela 2015; How to master the backdoor jazz chord progression (learnjazzstandards.com).',
  colour: 0.45,
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
