import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { around, degreeOf, numeralOf, recognition } from './circle.ts';
import { gridOf } from './grid.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { leadPairs, leadTails } from './slots.ts';
import { bassOf, chordIn, note, over, semitonesUp, symbol, UP } from './sound.ts';
import { inSlot, isStretch, Rewrites, sharing } from './write.ts';

const NAME = 'passing-diminished';

function propose(site: Site): readonly Rewrite[] {
  const { next } = site;
  if (next === null || next.quality.family === 'diminished' || isStretch(site)) return [];
  const rewrites = new Rewrites(site, NAME);
  proposeRising(site, rewrites, next);
  if (isFourBeforeHome(site, next)) proposeRaisedFour(site, rewrites, next);
  const two = next.quality.family === 'minor' && semitonesUp(site.held.root, next.root) === 2;
  if (two && site.held.quality.family === 'major') proposeFalling(site, rewrites, next);
  return rewrites.all;
}

/** The leading-tone diminished: the bass climbs a semitone into the next chord. */
function proposeRising(site: Site, rewrites: Rewrites, next: Chord): void {
  const to = bassOf(next);
  const root = to + UP.seven;
  if (semitonesUp(site.held.root, root) === 0) return;
  const seventh = chordIn(site, root, 'dim7');
  const climbs = `${note(seventh.root)} climbs a semitone to ${note(to)}`;
  leadTails(site).forEach((slot, i) => {
    if (i === 0) {
      rewrites.add({
        degree: 'triad',
        variant: `rising-dim@${slot.id}`,
        carrier: 'either',
        tells: seventh.root,
        home: to,
        cells: inSlot(slot, chordIn(site, root, 'dim')),
        reason: `The diminished triad from below: ${climbs} under ${symbol(next)}.`,
      });
    }
    rewrites.add({
      degree: 'seventh',
      variant: `rising-dim7@${slot.id}`,
      carrier: 'either',
      tells: seventh.root,
      home: to,
      cells: inSlot(slot, seventh),
      reason: `Passing diminished from below: ${climbs}, the dominant of ${symbol(next)} without its root.`,
    });
  });
}

/** Four held before home: its root may climb to the fifth that home is heard over. */
function isFourBeforeHome(site: Site, next: Chord): boolean {
  const { family } = site.held.quality;
  const four = family === 'dominant' || family === 'major';
  return four && next.bass === null && semitonesUp(next.root, site.held.root) === 5;
}

/** The raised four: the bass climbs from four by a semitone towards the fifth of home. */
function proposeRaisedFour(site: Site, rewrites: Rewrites, next: Chord): void {
  const raised = chordIn(site, site.held.root + UP.sharpOne, 'dim7');
  const fifth = next.root + UP.five;
  for (const slot of leadTails(site)) {
    rewrites.add({
      degree: 'seventh',
      variant: `raised-four@${slot.id}`,
      carrier: 'either',
      tells: raised.root,
      home: fifth,
      cells: inSlot(slot, raised),
      reason: `The four goes up a semitone on its way home: ${note(site.held.root)}, ${note(raised.root)}, and ${note(fifth)} is the fifth of ${symbol(next)}.`,
    });
  }
}

/** Home over its third (or three), then the diminished a semitone lower, then two: the bass walks down. */
function proposeFalling(site: Site, rewrites: Rewrites, next: Chord): void {
  const { held } = site;
  const root = held.root + UP.flatThree;
  const dim = chordIn(site, root, 'dim7');
  const third = held.root + UP.three;
  const walk = `${note(third)}, ${note(dim.root)}, ${note(next.root)}`;
  const told = { tells: dim.root, home: next.root };
  for (const slot of leadTails(site).slice(0, 1)) {
    rewrites.add({
      ...told,
      degree: 'seventh',
      variant: `falling-dim7@${slot.id}`,
      carrier: 'either',
      cells: inSlot(slot, dim),
      reason: `Passing diminished from above: ${note(dim.root)} falls a semitone to ${note(next.root)}.`,
    });
  }
  const pairs = leadPairs(site, gridOf(site).bars <= 2);
  const starts: readonly (readonly [string, Chord])[] = [
    ['third', over(held, third)],
    ['iii', chordIn(site, third, 'm7')],
  ];
  for (const slot of pairs) {
    for (const [name, first] of starts) {
      rewrites.add({
        ...told,
        degree: 'full',
        variant: `${name}-falling-dim7@${slot.id}`,
        carrier: 'band',
        cells: sharing(slot, first, dim),
        reason: `The bass walks down into ${symbol(next)}: ${walk}, with a passing diminished on the way.`,
      });
    }
  }
}

/** A diminished chord whose root goes a semitone up into the next bass, or a semitone down into a minor chord. */
function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null || seen.here.quality.family !== 'diminished') return null;
  const way = semitonesUp(bassOf(seen.here), bassOf(seen.next));
  if (way === 1) {
    const roman = `viidim7/${numeralOf(seen.reading, seen.next)}`;
    return recognition(NAME, index, seen.nextAt, roman, 'passing', 0.2);
  }
  const raised = degreeOf(seen.reading, seen.here) === 6 && degreeOf(seen.reading, seen.next) === 0;
  if (raised) return recognition(NAME, index, seen.nextAt, '#IVdim7', 'passing', 0.3);
  if (way !== 11) return null;
  const degree = degreeOf(seen.reading, seen.here);
  return recognition(NAME, index, seen.nextAt, degree === 3 ? 'bIIIdim7' : null, 'passing', 0.3);
}

/** The diminished seventh between two basses a whole tone apart, rising or falling. */
export const passingDiminished: Device = {
  name: NAME,
  label: 'Passing diminished',
  definition:
    'A diminished seventh chord fills the step to the next bass. Rising, its root is the leading note of the next chord, whose dominant it stands for; falling, it links home over its third (or three) to two and leads by the bass alone.',
  source:
    'Passing Diminished Seventh Chords (Music Theory Manual); A. French, Diminished theory; Jazzing up the blues, part 1 (gitbuddy.wordpress.com), for the raised four.',
  usual: { elsewhere: 0.85 },
  propose,
  recognise,
  examples: [
    {
      key: 'C major',
      before: '| Cmaj7 | Cmaj7 |',
      after: '| Cmaj7 | C#dim7 |',
      next: 'Dm7',
      source: 'Passing Diminished Seventh Chords (Music Theory Manual)',
    },
    {
      key: 'Bb major',
      before: '| Bbmaj7 | Bbmaj7 |',
      after: '| Bbmaj7/D | Dbdim7 |',
      next: 'Cm7',
      source: 'Passing Diminished Seventh Chords (Music Theory Manual)',
    },
    {
      key: 'D major',
      before: '| Dmaj7 | Dmaj7 | Dmaj7 | Dmaj7 |',
      after: '| Dmaj7 | Dmaj7 | F#m7 | Fdim7 |',
      next: 'Em7',
      source: 'Passing Diminished Seventh Chords (Music Theory Manual)',
    },
    {
      key: 'G major',
      before: '| C7 | C7 |',
      after: '| C7 | C#dim7 |',
      next: 'G7/D',
      source: 'Jazzing up the blues, part 1',
    },
  ],
};
