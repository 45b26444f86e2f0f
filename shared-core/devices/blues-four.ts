import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Spelled } from '../pitch/spelled.ts';
import { around, chordAt, degreeOf, nextIndex, recognition } from './circle.ts';
import { homeNext, isMinorish, isTonic, standingOf } from './home.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { awaySlots, leadTails, pairSlots, rockingSlots, type Slot } from './slots.ts';
import { chordIn, note, semitonesUp, symbol, UP } from './sound.ts';
import { inSlot, Rewrites, sharing } from './write.ts';

const NAME = 'blues-four';

/** What the four-seven brings in over this home: the flat third over major and the blues, the natural sixth over minor. */
function told(site: Site): { tells: Spelled; home: Spelled; words: string } {
  const root = site.held.root;
  if (standingOf(site) === 'minor-home') {
    const tells = root + UP.six;
    const home = root + UP.five;
    return {
      tells,
      home,
      words: `its third ${note(tells)} is the bright sixth of the minor and falls to ${note(home)}`,
    };
  }
  const tells = root + UP.flatThree;
  const home = root + UP.three;
  return {
    tells,
    home,
    words: `its seventh ${note(tells)} is the blue third and rises to ${note(home)}, the third of home`,
  };
}

function fits(site: Site): boolean {
  const standing = standingOf(site);
  return (
    standing === 'major' || standing === 'minor-home' || (standing === 'blues' && isTonic(site))
  );
}

function propose(site: Site): readonly Rewrite[] {
  if (onFive(site)) return proposeOnFive(site);
  if (!fits(site)) return [];
  const rewrites = new Rewrites(site, NAME);
  const { words, ...notes } = told(site);
  const four = site.held.root + UP.four;
  const slots = awaySlots(site, homeNext(site));
  proposeMild(site, rewrites, slots.slice(0, 2));
  slots.forEach((slot, i) => {
    for (const suffix of i === 0 ? ['7', '9'] : ['7']) {
      rewrites.add({
        ...notes,
        degree: 'seventh',
        variant: `IV${suffix}@${slot.id}`,
        carrier: 'either',
        cells: inSlot(slot, chordIn(site, four, suffix)),
        reason: `Four-seven and back, with no dominant to pull it: ${words}.`,
      });
    }
  });
  proposeRocking(site, rewrites);
  if (standingOf(site) !== 'minor-home') proposeRaised(site, rewrites);
  return rewrites.all;
}

/** The telling note alone at the first place, the plain triad at each. */
function proposeMild(site: Site, rewrites: Rewrites, slots: readonly Slot[]): void {
  const { words: _, ...notes } = told(site);
  const root = site.held.root;
  const triad = chordIn(site, root + UP.four, '');
  const minor = standingOf(site) === 'minor-home';
  slots.forEach((slot, i) => {
    if (i === 0) {
      rewrites.add({
        ...notes,
        degree: 'note',
        variant: `blue@${slot.id}`,
        carrier: 'soloist',
        cells: inSlot(slot, minor ? triad : chordIn(site, root + UP.four, '7')),
        reason: `Over the held ${symbol(site.held)}, just ${note(notes.tells)} going to ${note(notes.home)}: the note of the four that talks.`,
      });
    }
    rewrites.add({
      tells: root + UP.six,
      home: root + UP.five,
      degree: 'triad',
      variant: `IV@${slot.id}`,
      carrier: 'either',
      cells: inSlot(slot, triad),
      reason: `Rock to the four and back: ${note(root + UP.six)} falls to ${note(root + UP.five)}, and ${note(root + UP.four)} to the third of home.`,
    });
  });
}

/** The four-seven in every other bar of a vamp. */
function proposeRocking(site: Site, rewrites: Rewrites): void {
  const { words, ...notes } = told(site);
  const rocking = rockingSlots(site);
  if (rocking.length === 0) return;
  const seventh = chordIn(site, site.held.root + UP.four, '7');
  rewrites.add({
    ...notes,
    degree: 'seventh',
    variant: 'IV7@rocking',
    carrier: 'band',
    cells: rocking.flatMap((slot) => inSlot(slot, seventh)),
    reason: `Rock to the four-seven every other bar: ${words}.`,
  });
}

/** Five held before home: the place where the blues walks down through the four. */
function onFive(site: Site): boolean {
  const { held, next } = site;
  const standing = standingOf(site);
  if (standing !== 'dominant' && standing !== 'major') return false;
  return (
    next !== null &&
    !isMinorish(next) &&
    semitonesUp(next.root, held.root) === 7 &&
    semitonesUp(site.key.tonic, next.root) === 0
  );
}

/** Five, four, home: the fall of the last line of a blues. */
function proposeOnFive(site: Site): readonly Rewrite[] {
  const rewrites = new Rewrites(site, NAME);
  const { held, next } = site;
  if (next === null) return [];
  const suffix = held.quality.family === 'dominant' ? '7' : '';
  for (const slot of leadTails(site)) {
    rewrites.add({
      degree: suffix === '' ? 'triad' : 'seventh',
      variant: `V-IV${suffix}@${slot.id}`,
      carrier: 'band',
      tells: next.root + UP.four,
      home: next.root + UP.three,
      cells: inSlot(slot, chordIn(site, next.root + UP.four, suffix)),
      reason: `Five walks down through four, as the last line of a blues does: ${note(next.root + UP.four)} falls to ${note(next.root + UP.three)}, the third of home.`,
    });
  }
  return rewrites.all;
}

/** Four-seven, its root raised to a diminished chord, then home: the blues' way of climbing back. */
function proposeRaised(site: Site, rewrites: Rewrites): void {
  const root = site.held.root;
  const four = chordIn(site, root + UP.four, '7');
  const raised = chordIn(site, root + UP.sharpFour, 'dim7');
  for (const slot of pairSlots(site, homeNext(site)).slice(0, 2)) {
    rewrites.add({
      tells: raised.root,
      home: root + UP.five,
      degree: 'full',
      variant: `IV7-sharp-IV@${slot.id}`,
      carrier: 'band',
      cells: sharing(slot, four, raised),
      reason: `Four-seven, then its root goes up a semitone: ${note(four.root)}, ${note(raised.root)} and on to ${note(root + UP.five)}, the fifth of home.`,
    });
  }
}

/** The seventh chord on four that goes back to home, straight or over the raised four. */
function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null || seen.here.quality.family !== 'dominant') return null;
  const { here, next, reading } = seen;
  if (degreeOf(reading, here) !== 5) return null;
  if (degreeOf(reading, next) === 0) {
    return recognition(NAME, index, null, 'IV7', 'departure', 0.3);
  }
  const raised = next.quality.family === 'diminished' && semitonesUp(here.root, next.root) === 1;
  const afterAt = raised ? nextIndex(chords, seen.nextAt) : null;
  const after = afterAt === null ? null : chordAt(chords, afterAt);
  if (after === null || degreeOf(reading, after) !== 0) return null;
  return recognition(NAME, index, seen.nextAt, 'IV7', 'departure', 0.3);
}

/** The four-seven inside a stretch of home and back. */
export const bluesFour: Device = {
  name: NAME,
  label: 'Blues four',
  definition:
    'The dominant seventh on the fourth degree takes part of a stretch of home and home returns; nothing resolves as a dominant. Over major and in the blues the note that tells is the flat third of the key; over minor the same chord is the Dorian four and tells by the natural sixth. The full form goes on over the diminished chord on the raised four.',
  source:
    'Wikipedia, Twelve-bar blues (quick change); The Blues, course lecture, Basic Blues Progression; Jazzing up the blues, part 1 (gitbuddy.wordpress.com) for the raised four. The Dorian four is common practice, no source.',
  usual: { blues: 1, major: 0.65, elsewhere: 0.7 },
  propose,
  recognise,
  examples: [
    {
      key: 'C major',
      before: '| C7 | C7 |',
      after: '| C7 F7 | C7 |',
      source: 'Wikipedia, Twelve-bar blues',
    },
    {
      key: 'F major',
      before: '| F7 | F7 | F7 | F7 |',
      after: '| F7 | Bb7 | F7 | F7 |',
      source: 'Wikipedia, Twelve-bar blues: quick change',
    },
    {
      key: 'Bb major',
      before: '| Bb7 | Bb7 |',
      after: '| Bb7 Eb7 | Bb7 |',
      source: 'Wikipedia, Twelve-bar blues',
    },
    {
      key: 'C minor',
      before: '| Cm7 | Cm7 |',
      after: '| Cm7 F7 | Cm7 |',
      source: 'common practice, no source',
    },
  ],
};
