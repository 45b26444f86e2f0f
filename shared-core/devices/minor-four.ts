import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { around, degreeOf, recognition } from './circle.ts';
import { homeNext, isMinorish, isTonic, standingOf } from './home.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { awaySlots, leadTails, pairSlots, type Slot } from './slots.ts';
import { chordIn, note, semitonesUp, symbol, UP } from './sound.ts';
import { rowIn } from './spelling.ts';
import { inSlot, isStretch, Rewrites, sharing } from './write.ts';

const NAME = 'minor-four';

/** Home in major, the tonic of a minor key, or the seventh chord that is home in a blues. */
function fits(site: Site): boolean {
  const standing = standingOf(site);
  return (
    standing === 'major' || standing === 'minor-home' || (standing === 'blues' && isTonic(site))
  );
}

/** The four in the colour of home, and the minor four it turns into: one root, one name. */
function turning(site: Site, suffix: string): readonly [Chord, Chord] {
  const four = site.held.root + UP.four;
  const colour = standingOf(site) === 'blues' ? '7' : 'maj7';
  const [major, minor] = rowIn(site, [
    [four, colour],
    [four, suffix],
  ]);
  if (major === undefined || minor === undefined) throw new Error('A row of two holds two chords');
  return [major, minor];
}

/** Four held before the home it is the four of, or before the three that stands for it. */
function isFourBeforeHome(site: Site): boolean {
  const { held, next, key } = site;
  if (isStretch(site) || next === null || next.bass !== null) return false;
  const { family } = held.quality;
  if (family !== 'major' && family !== 'dominant') return false;
  if (!isMinorish(next)) return semitonesUp(next.root, held.root) === 5;
  const four = key.mode === 'major' && semitonesUp(key.tonic, held.root) === 5;
  return four && next.quality.family === 'minor' && semitonesUp(next.root, held.root) === 1;
}

/** The held four turns minor where it stands, on its way home to the next chord. */
function proposeGoingHome(site: Site, rewrites: Rewrites): void {
  const { held, next } = site;
  if (next === null) return;
  const told = { tells: held.root + UP.flatThree, home: held.root + UP.two };
  const third = note(held.root + UP.three);
  leadTails(site).forEach((slot, i) => {
    for (const suffix of i === 0 ? ['m', 'm6', 'm7', 'mMaj7'] : ['m6', 'm7']) {
      rewrites.add({
        ...told,
        degree: suffix === 'm' ? 'triad' : 'seventh',
        variant: `turns-${suffix}@${slot.id}`,
        carrier: 'either',
        cells: inSlot(slot, chordIn(site, held.root, suffix)),
        reason: `The four turns minor on its way home: ${third} falls to ${note(told.tells)} and on to ${note(told.home)} in ${symbol(next)}.`,
      });
    }
  });
}

function propose(site: Site): readonly Rewrite[] {
  const rewrites = new Rewrites(site, NAME);
  if (fits(site)) proposeInside(site, rewrites);
  if (isFourBeforeHome(site)) proposeGoingHome(site, rewrites);
  return rewrites.all;
}

/** On a stretch of home. */
function proposeInside(site: Site, rewrites: Rewrites): void {
  const home = site.held.root;
  const told = { tells: home + UP.flatSix, home: home + UP.five };
  const falls = `its ${note(told.tells)} falls a semitone to ${note(told.home)}, the fifth of home`;
  const minorHome = standingOf(site) === 'minor-home';
  const opening = minorHome ? 'Home rocks to its minor four' : 'Four turns minor';
  const slots = awaySlots(site, homeNext(site));
  for (const slot of slots.slice(0, 2))
    proposeMild(site, rewrites, slot, `${opening}, the plain triad: ${falls}.`);
  slots.forEach((slot, i) => {
    for (const suffix of i === 0 ? ['m6', 'm7', 'mMaj7'] : ['m6']) {
      rewrites.add({
        ...told,
        degree: 'seventh',
        variant: `iv-${suffix}@${slot.id}`,
        carrier: 'either',
        cells: inSlot(slot, chordIn(site, home + UP.four, suffix)),
        reason: `${opening}: ${falls}.`,
      });
    }
  });
  if (!minorHome) proposeTurning(site, rewrites, told);
}

/** The telling note alone, and the plain triad. */
function proposeMild(site: Site, rewrites: Rewrites, slot: Slot, reason: string): void {
  const home = site.held.root;
  const told = { tells: home + UP.flatSix, home: home + UP.five };
  const cells = inSlot(slot, chordIn(site, home + UP.four, 'm'));
  rewrites.add({
    ...told,
    degree: 'note',
    variant: `flat-six@${slot.id}`,
    carrier: 'soloist',
    cells,
    reason: `Over the held ${symbol(site.held)}, lean on ${note(told.tells)}, the flat third of the minor four: it falls to ${note(told.home)}, the fifth.`,
  });
  rewrites.add({
    ...told,
    degree: 'triad',
    variant: `iv-m@${slot.id}`,
    carrier: 'either',
    cells,
    reason,
  });
}

/** Four first in major, then minor: the third of the four falls through the flat six. */
function proposeTurning(
  site: Site,
  rewrites: Rewrites,
  told: { tells: number; home: number },
): void {
  const sixth = note(site.held.root + UP.six);
  for (const slot of pairSlots(site, homeNext(site)).slice(0, 2)) {
    for (const suffix of ['m7', 'm6']) {
      rewrites.add({
        ...told,
        degree: 'full',
        variant: `IV-iv-${suffix}@${slot.id}`,
        carrier: 'band',
        cells: sharing(slot, ...turning(site, suffix)),
        reason: `Four, then four minor: ${sixth} falls to ${note(told.tells)} and on to ${note(told.home)}, the fifth of home.`,
      });
    }
  }
}

/** Four minor in a major key going home (or to three, which stands for it), or four minor of the chord it left. */
function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null || seen.here.quality.family !== 'minor') return null;
  const { here, next, reading, previous } = seen;
  const fourOfNext = semitonesUp(next.root, here.root) === 5 && !isMinorish(next);
  if (reading.localKey.mode === 'major' && degreeOf(reading, here) === 5) {
    const home = degreeOf(reading, next);
    if (home === 0 && fourOfNext) {
      return recognition(NAME, index, seen.nextAt, 'iv', 'departure', 0.4);
    }
    if (home === 4) return recognition(NAME, index, seen.nextAt, 'iv', 'departure', 0.6);
  }
  const cameBack = previous !== null && semitonesUp(previous.root, next.root) === 0;
  const turned = previous !== null && semitonesUp(previous.root, here.root) === 0;
  if (!fourOfNext || (!cameBack && !turned)) return null;
  return recognition(NAME, index, seen.nextAt, 'iv', 'departure', 0.9);
}

/** The minor chord on four inside or at the end of a home span, then home again. */
export const minorFour: Device = {
  name: NAME,
  label: 'Minor four',
  definition:
    'The minor chord on the fourth degree (triad, m6, m7 or mMaj7) stands inside or at the end of a stretch of home, then home returns. The note that tells is its flat third, the flat sixth of home, which falls a semitone to the fifth. The full form turns a major four minor on the way.',
  source:
    'P. Thomas, Modal interchange, altered chords (petethomas.co.uk); handout Modal Interchange (scribd 251361724); placement in the span is common practice, no source.',
  usual: { major: 1, elsewhere: 0.8 },
  propose,
  recognise,
  examples: [
    {
      key: 'C major',
      before: '| Cmaj7 | Cmaj7 |',
      after: '| Cmaj7 Fm6 | Cmaj7 |',
      source: 'P. Thomas, Modal interchange, altered chords',
    },
    {
      key: 'E major',
      before: '| Emaj7 | Emaj7 | Emaj7 | Emaj7 |',
      after: '| Emaj7 | Emaj7 | Am6 | Emaj7 |',
      source: 'P. Thomas, Modal interchange, altered chords',
    },
    {
      key: 'F major',
      before: '| F6 | F6 | F6 | F6 |',
      after: '| F6 | Bbmaj7 | Bbm7 | F6 |',
      source: 'Handout Modal Interchange: four turning minor before the return',
    },
    {
      key: 'G major',
      meter: '3/4',
      before: '| Gmaj7 | Gmaj7 |',
      after: '| Gmaj7 / Cm6 | Gmaj7 |',
      source: 'common practice, no source',
    },
  ],
};
