import type { ChordReading, Recognition } from '../analysis/model.ts';
import { around, recognition } from './circle.ts';
import { homeNext, standingOf } from './home.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { awaySlots, opening, rockingSlots, type Slot } from './slots.ts';
import { chordIn, note, semitonesUp, symbol, UP } from './sound.ts';
import { inSlot, Rewrites } from './write.ts';

const NAME = 'common-tone-diminished';

function propose(site: Site): readonly Rewrite[] {
  const standing = standingOf(site);
  if (standing !== 'major' && standing !== 'blues' && standing !== 'dominant') return [];
  const rewrites = new Rewrites(site, NAME);
  const seventh = chordIn(site, site.held.root, 'dim7');
  const { moves, ...told } = leaning(site);
  const first = opening(site);
  const slots = awaySlots(site, homeNext(site));
  for (const slot of slots.slice(0, 1)) proposeMild(site, rewrites, slot);
  for (const slot of first === null ? slots : [first, ...slots]) {
    rewrites.add({
      ...told,
      degree: 'seventh',
      variant: `dim7@${slot.id}`,
      carrier: 'either',
      cells: inSlot(slot, seventh),
      reason: `Common-tone diminished: ${moves}.`,
    });
  }
  const rocking = rockingSlots(site);
  if (rocking.length > 0) {
    rewrites.add({
      ...told,
      degree: 'full',
      variant: 'dim7@rocking',
      carrier: 'band',
      cells: rocking.flatMap((slot) => inSlot(slot, seventh)),
      reason: `Common-tone diminished every other bar: ${moves}.`,
    });
  }
  return rewrites.all;
}

/** What leans and rises while the root stays. */
function leaning(site: Site): { tells: number; home: number; moves: string } {
  const { root } = site.held;
  const tells = root + UP.flatThree;
  const home = root + UP.three;
  const moves = `${note(root)} stays, ${note(tells)} rises to ${note(home)} and ${note(root + UP.flatFive)} to ${note(root + UP.five)}`;
  return { tells, home, moves };
}

/** The leaning note alone, and the plain triad. */
function proposeMild(site: Site, rewrites: Rewrites, slot: Slot): void {
  const { moves, ...told } = leaning(site);
  const cells = inSlot(slot, chordIn(site, site.held.root, 'dim'));
  rewrites.add({
    ...told,
    degree: 'note',
    variant: `from-below@${slot.id}`,
    carrier: 'soloist',
    cells,
    reason: `Over the held ${symbol(site.held)}, lean on ${note(told.tells)} and let it rise to ${note(told.home)}, the third.`,
  });
  rewrites.add({
    ...told,
    degree: 'triad',
    variant: `dim@${slot.id}`,
    carrier: 'either',
    cells,
    reason: `A sigh on one root, in plain triads: ${moves}.`,
  });
}

/** A diminished chord on the root of the chord it goes to. */
function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null || seen.here.quality.family !== 'diminished') return null;
  if (semitonesUp(seen.here.root, seen.next.root) !== 0) return null;
  return recognition(NAME, index, seen.nextAt, null, 'common-tone', 0.2);
}

/** The diminished seventh on the root of the chord it decorates. */
export const commonToneDiminished: Device = {
  name: NAME,
  label: 'Common-tone diminished',
  definition:
    'The diminished seventh on the root of the held chord delays or decorates it: the root stays, the other voices lean from a step below and rise home. It stands at the start of the stretch, or inside it with the held chord before and after.',
  source:
    'M. Lavengood, Open Music Theory, Embellishing Chords (jazz); A. French, Diminished theory.',
  usual: { elsewhere: 0.6 },
  propose,
  recognise,
  examples: [
    {
      key: 'C major',
      before: '| Cmaj7 | Cmaj7 |',
      after: '| Cdim7 | Cmaj7 |',
      source: 'Open Music Theory, Embellishing Chords (jazz)',
    },
    {
      key: 'F major',
      before: '| Fmaj7 | Fmaj7 | Fmaj7 | Fmaj7 |',
      after: '| Fmaj7 | Fdim7 | Fmaj7 | Fmaj7 |',
      source: 'Open Music Theory, Embellishing Chords (jazz)',
    },
    {
      key: 'Ab major',
      before: '| Abmaj7 | Abmaj7 |',
      after: '| Abdim7 | Abmaj7 |',
      source: 'A. French, Diminished theory',
    },
  ],
};
