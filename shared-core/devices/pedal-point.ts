import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import type { Spelled } from '../pitch/spelled.ts';
import { around, recognition } from './circle.ts';
import { homeNext, standingOf } from './home.ts';
import { spread, tailLayouts } from './layouts.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { awaySlots, leadPairs } from './slots.ts';
import { bassOf, chordIn, note, over, semitonesUp, symbol, UP } from './sound.ts';
import { along, inSlot, Rewrites, sharing } from './write.ts';

const NAME = 'pedal-point';

function propose(site: Site): readonly Rewrite[] {
  const rewrites = new Rewrites(site, NAME);
  switch (standingOf(site)) {
    case 'major':
      proposeTonic(site, rewrites, [UP.two, UP.three, UP.two], 'm7', 'seventh');
      proposeTonic(site, rewrites, [UP.four, UP.five, UP.four], '', 'triad');
      proposeDominant(site, rewrites);
      break;
    case 'minor-home':
      proposeTonic(site, rewrites, [UP.flatSeven, UP.flatSix, UP.flatSeven], '', 'triad');
      break;
    case 'blues':
      proposeBlues(site, rewrites);
      break;
    case 'dominant':
      proposeOverDominant(site, rewrites);
      break;
    default:
  }
  return rewrites.all;
}

/** Home first, then chords walking over its root, which the bass holds. */
function proposeTonic(
  site: Site,
  rewrites: Rewrites,
  walk: readonly Spelled[],
  suffix: string,
  degree: 'triad' | 'seventh',
): void {
  const root = site.held.root;
  const moving = walk.map((up) => over(chordIn(site, root + up, suffix), root));
  const whole = spread(site, 4);
  const end = tailLayouts(site, 4)[0];
  const layouts = [whole, end === undefined || end.at[0] === 0 ? null : end];
  for (const layout of layouts) {
    if (layout === null) continue;
    const place = layout.at[0] === 0 ? 'whole' : 'end';
    rewrites.add({
      degree,
      variant: `home-${degree === 'triad' ? 'triads' : 'walk'}@${place}-${layout.id}`,
      carrier: 'band',
      tells: null,
      home: root,
      cells: along(layout, [site.held, ...moving]),
      reason: `The bass stays on ${note(root)} while ${moving.map((chord) => symbol({ ...chord, bass: null })).join(', ')} pass over it and step back home.`,
    });
  }
}

/** Before home comes round again: two and five over the dominant in the bass. */
function proposeDominant(site: Site, rewrites: Rewrites): void {
  if (!homeNext(site)) return;
  const bass = site.held.root + UP.five;
  const two = over(chordIn(site, site.held.root + UP.two, 'm7'), bass);
  const five = chordIn(site, bass, '7');
  for (const slot of leadPairs(site)) {
    rewrites.add({
      degree: 'full',
      variant: `dominant@${slot.id}`,
      carrier: 'band',
      tells: site.held.root,
      home: site.held.root + UP.seven,
      cells: sharing(slot, two, five),
      reason: `The bass waits on ${note(bass)}: over it ${note(site.held.root)} hangs and falls to ${note(site.held.root + UP.seven)}, then ${note(bass)} drops home to ${note(site.held.root)}.`,
    });
  }
}

/** The blues rocks over its root: the four as a triad above the held bass. */
function proposeBlues(site: Site, rewrites: Rewrites): void {
  const root = site.held.root;
  const four = over(chordIn(site, root + UP.four, ''), root);
  for (const slot of awaySlots(site, homeNext(site)).slice(0, 2)) {
    rewrites.add({
      degree: 'triad',
      variant: `IV-over-home@${slot.id}`,
      carrier: 'band',
      tells: root + UP.four,
      home: root + UP.three,
      cells: inSlot(slot, four),
      reason: `The bass stays on ${note(root)} and the four rocks above it: ${note(root + UP.four)} falls to ${note(root + UP.three)}, ${note(root + UP.six)} to ${note(root + UP.five)}.`,
    });
  }
}

/** A held dominant: its two over the same bass first, so that the fourth hangs and falls to the third. */
function proposeOverDominant(site: Site, rewrites: Rewrites): void {
  const root = site.held.root;
  const fourth = root + UP.four;
  const told = { tells: fourth, home: root + UP.three };
  const two = over(chordIn(site, root + UP.five, 'm7'), root);
  const reason = `Two over the dominant's own bass ${note(root)}: ${note(fourth)} hangs as a fourth and falls to ${note(told.home)}, the third.`;
  for (const count of [2, 4]) {
    const layout = spread(site, count);
    if (layout === null) continue;
    rewrites.add({
      ...told,
      degree: 'seventh',
      variant: `two-over-five-${count}@${layout.id}`,
      carrier: 'band',
      cells: along(layout, count === 2 ? [two, site.held] : [two, site.held, two, site.held]),
      reason,
    });
  }
  const four = over(chordIn(site, fourth, ''), root);
  for (const slot of awaySlots(site, false).slice(0, 1)) {
    rewrites.add({
      ...told,
      degree: 'triad',
      variant: `IV-over-five@${slot.id}`,
      carrier: 'band',
      cells: inSlot(slot, four),
      reason: `The triad on ${note(fourth)} over the held ${note(root)}: ${note(fourth)} hangs and falls back to ${note(told.home)}.`,
    });
  }
}

/** A chord over a bass that is not its own and that sounded just before or sounds on. */
function onPedal(chords: readonly ChordReading[], index: number): boolean {
  const seen = around(chords, index);
  if (seen === null || seen.here.bass === null) return false;
  const bass = bassOf(seen.here);
  if (semitonesUp(bass, seen.here.root) === 0 || isInversion(seen.here)) return false;
  const holds = (other: Chord | null): boolean =>
    other !== null && semitonesUp(bassOf(other), bass) === 0;
  return holds(seen.previous) || holds(seen.next);
}

/** A bass that is simply the chord's third or fifth is an inversion, not a pedal, unless the chord before or after rests on it. */
function isInversion(chord: Chord): boolean {
  if (chord.bass === null) return false;
  const up = semitonesUp(chord.root, chord.bass);
  return up === 3 || up === 4;
}

function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || !onPedal(chords, index)) return null;
  return recognition(NAME, index, null, null, 'common-tone', 0.4);
}

/** The bass holds one note while chords change above it. */
export const pedalPoint: Device = {
  name: NAME,
  label: 'Pedal point',
  definition:
    'The bass holds home or the dominant while chords change above it, written as slash chords over one bass note. Over home: two and three (or plain triads) walk up and back. Over the dominant: its two hangs above the bass and falls into it, and the bass is let go into home.',
  source:
    'A Jazz Improvisation Almanac: Pedal Point (Outside Shore); A jazz improvisation text, section Pedal Point.',
  usual: { suspended: 0.7, elsewhere: 0.5 },
  propose,
  recognise,
  examples: [
    {
      key: 'C major',
      before: '| Cmaj7 | Cmaj7 | Cmaj7 | Cmaj7 |',
      after: '| Cmaj7 | Dm7/C | Em7/C | Dm7/C |',
      next: 'Cmaj7',
      source: 'A Jazz Improvisation Almanac: Pedal Point',
    },
    {
      key: 'F major',
      before: '| C7 | C7 |',
      after: '| Gm7/C | C7 |',
      next: 'Fmaj7',
      source: 'A jazz improvisation text, section Pedal Point',
    },
    {
      key: 'Eb major',
      before: '| Ebmaj7 | Ebmaj7 | Ebmaj7 | Ebmaj7 |',
      after: '| Ebmaj7 | Fm7/Eb | Gm7/Eb | Fm7/Eb |',
      next: 'Ebmaj7',
      source: 'A Jazz Improvisation Almanac: Pedal Point',
    },
  ],
};
