import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import type { Key } from '../pitch/key.ts';
import { around, degreeOf, numeralOf, recognition } from './circle.ts';
import { gridOf } from './grid.ts';
import { resolves, standingOf, target } from './home.ts';
import type { Change, Device, Rewrite, Site } from './model.ts';
import { leadPairs, leadTails, type Slot } from './slots.ts';
import { chordIn, note, semitonesUp, symbol, twoFive, UP } from './sound.ts';
import { splitsWith } from './split.ts';
import { type Cell, inSlot, isStretch, Rewrites, sharing, writtenChords } from './write.ts';

const NAME = 'tritone-substitute';

function propose(site: Site): readonly Rewrite[] {
  const to = target(site);
  if (to === null) return [];
  const rewrites = new Rewrites(site, NAME);
  if (isStretch(site)) {
    proposeOnStretch(site, rewrites, to);
    return rewrites.all;
  }
  const root = to.root + UP.flatTwo;
  if (semitonesUp(site.held.root, root) === 0) {
    proposeTwoOfHeld(site, rewrites, to);
    return rewrites.all;
  }
  const slots = leadTails(site);
  slots.forEach((slot, i) => {
    if (i === 0) proposeMild(site, rewrites, slot, to);
    for (const suffix of i === 0 ? ['7', '7#11', '9'] : ['7']) {
      const sub = chordIn(site, root, suffix);
      rewrites.add({
        degree: 'seventh',
        variant: `subV${suffix}@${slot.id}`,
        carrier: 'either',
        tells: to.root + UP.flatTwo,
        home: to.root,
        cells: inSlot(slot, sub),
        reason: reasonFor(sub, to),
      });
    }
  });
  proposeWithTwo(site, rewrites, to);
  proposeWhole(site, rewrites, to);
  return rewrites.all;
}

/** What the substitute does, in notes: the bass falls a semitone, the guide tones of the real dominant resolve. */
function reasonFor(sub: Chord, to: Chord): string {
  const leading = to.root + UP.seven;
  return `${symbol(sub)} stands for the dominant: its root falls a semitone, ${note(sub.root)} to ${note(to.root)}, and it keeps ${note(leading)} rising to ${note(to.root)}.`;
}

function proposeMild(site: Site, rewrites: Rewrites, slot: Slot, to: Chord): void {
  const triad = chordIn(site, to.root + UP.flatTwo, '');
  const told = { tells: triad.root, home: to.root, cells: inSlot(slot, triad) };
  rewrites.add({
    ...told,
    degree: 'note',
    variant: `flat-two@${slot.id}`,
    carrier: 'soloist',
    reason: `Just ${note(triad.root)}, the flat two of ${symbol(to)}: it falls a semitone to ${note(to.root)}.`,
  });
  rewrites.add({
    ...told,
    degree: 'triad',
    variant: `subV-triad@${slot.id}`,
    carrier: 'soloist',
    reason: `The plain triad a semitone above ${symbol(to)}: ${note(triad.root)} falls to ${note(to.root)}, ${note(triad.root + UP.five)} to ${note(to.root + UP.five)}.`,
  });
}

/** The substitute with its two; over a held dominant it may take the whole time of the dominant. */
function proposeWithTwo(site: Site, rewrites: Rewrites, to: Chord): void {
  const dominant = standingOf(site) === 'dominant' && resolves(site.held, to);
  const [two, sub] = twoFive(site, to.root + UP.flatSix, ['m7', '7']);
  for (const slot of leadPairs(site, dominant)) {
    rewrites.add({
      degree: 'full',
      variant: `ii-subV@${slot.id}`,
      carrier: 'band',
      tells: sub.root,
      home: to.root,
      cells: sharing(slot, two, sub),
      reason: `The substitute with its own two, a whole two-five from a tritone away: ${symbol(two)} ${symbol(sub)}, then ${note(sub.root)} falls a semitone to ${note(to.root)}.`,
    });
  }
}

/** The substitute is held already: its two shares its time. */
function proposeTwoOfHeld(site: Site, rewrites: Rewrites, to: Chord): void {
  const { held } = site;
  if (held.quality.family !== 'dominant') return;
  const two = chordIn(site, held.root + UP.five, 'm7');
  for (const { id, cells } of splitsWith(site, two, held)) {
    rewrites.add({
      degree: 'full',
      variant: `its-two@${id}`,
      carrier: 'either',
      tells: held.root,
      home: to.root,
      cells,
      reason: `The substitute brings its own two, ${symbol(two)} ${symbol(held)}, and ${note(held.root)} falls a semitone to ${note(to.root)}.`,
    });
  }
}

/** A dominant of a bar or two gives way from its first beat. */
function proposeWhole(site: Site, rewrites: Rewrites, to: Chord): void {
  if (standingOf(site) !== 'dominant' || gridOf(site).bars > 2) return;
  if (semitonesUp(site.held.root, to.root) !== 5) return;
  const sub = chordIn(site, to.root + UP.flatTwo, '7');
  rewrites.add({
    degree: 'seventh',
    variant: 'subV7@whole',
    carrier: 'either',
    tells: sub.root,
    home: to.root,
    cells: [{ at: 0, end: site.length, harmony: sub }],
    reason: reasonFor(sub, to),
  });
}

/** On written changes: the last dominant gives way to its substitute where it stands. */
function proposeOnStretch(site: Site, rewrites: Rewrites, to: Chord): void {
  const chords = writtenChords(site);
  const last = chords?.at(-1);
  const place = site.written.at(-1);
  if (last === undefined || place === undefined || last.quality.family !== 'dominant') return;
  if (semitonesUp(last.root, to.root) !== 5) return;
  const sub = chordIn(site, to.root + UP.flatTwo, '7');
  const cells: readonly Cell[] = [{ at: place.at, end: place.at + place.length, harmony: sub }];
  rewrites.add({
    degree: 'seventh',
    variant: 'subV7@last',
    carrier: 'either',
    tells: sub.root,
    home: to.root,
    cells,
    reason: reasonFor(sub, to),
  });
}

/** A dominant whose root falls a semitone into the next, or the two that belongs to it. */
function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null) return null;
  if (isSubstitute(chords, index)) {
    const home = degreeOf(seen.reading, seen.next) === 0;
    const roman = home ? 'subV7' : `subV7/${numeralOf(seen.reading, seen.next)}`;
    return recognition(NAME, index, seen.nextAt, roman, 'dominant', 0.4);
  }
  const two =
    seen.here.quality.family === 'minor' && semitonesUp(seen.here.root, seen.next.root) === 5;
  if (!two || !isSubstitute(chords, seen.nextAt)) return null;
  return recognition(NAME, index, seen.nextAt, 'ii7/subV', 'departure', 0.5);
}

function isSubstitute(chords: readonly ChordReading[], index: number): boolean {
  const seen = around(chords, index);
  if (seen === null || seen.next === null || seen.here.quality.family !== 'dominant') return false;
  return semitonesUp(seen.here.root, seen.next.root) === 11;
}

/** The window with its last chord turned back into the dominant it stands for. */
function plainer(
  window: readonly Change[],
  key: Key,
  next: Chord | null,
): readonly (readonly Change[])[] {
  const last = window.at(-1);
  if (next === null || last === undefined) return [];
  const five = { ...last, harmony: chordIn(key, next.root + UP.five, '7') };
  const whole = { at: 0, length: last.at + last.length, harmony: five.harmony };
  return [[whole], [...window.slice(0, -1), five]];
}

/** The dominant a tritone away, falling a semitone into the next chord. */
export const tritoneSubstitute: Device = {
  name: NAME,
  label: 'Tritone substitute',
  definition:
    'A dominant gives way to the dominant seventh a tritone from it, whose root falls a semitone into the next chord; third and seventh are the same two notes, exchanged. The full form brings its own two.',
  source:
    'M. Lavengood, Open Music Theory, Substitutions (jazz); R. Hutchinson, Music Theory for the 21st-Century Classroom, 31.8.',
  usual: { elsewhere: 0.9 },
  propose,
  recognise,
  plainer,
  examples: [
    {
      key: 'C major',
      before: '| G7 | G7 |',
      after: '| G7 | Db7 |',
      next: 'Cmaj7',
      source: 'Open Music Theory, Substitutions (jazz)',
    },
    {
      key: 'A major',
      before: '| Amaj7 | Amaj7 | Amaj7 | Amaj7 |',
      after: '| Amaj7 | Amaj7 | Amaj7 | Bb7 |',
      next: 'Amaj7',
      source: 'Open Music Theory, Substitutions (jazz)',
    },
    {
      key: 'F major',
      before: '| Fmaj7 | Fmaj7 |',
      after: '| Fmaj7 | Fmaj7 Ab7 |',
      next: 'Gm7',
      source: 'Music Theory for the 21st-Century Classroom, 31.8',
    },
    {
      key: 'D major',
      before: '| A7 | A7 |',
      after: '| Bbm7 | Eb7 |',
      next: 'Dmaj7',
      source: 'Open Music Theory, Substitutions (jazz)',
    },
    {
      key: 'C major',
      before: '| Dm7 | G7 |',
      after: '| Dm7 | Db7 |',
      next: 'Cmaj7',
      source: 'Music Theory for the 21st-Century Classroom, 31.8',
    },
  ],
};
