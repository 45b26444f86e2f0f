import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import type { Spelled } from '../pitch/spelled.ts';
import { around, recognition } from './circle.ts';
import { homeNext, standingOf } from './home.ts';
import { spread, tailLayouts } from './layouts.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { awaySlots, leadPairs } from './slots.ts';
import { bassOf, chordIn, note, over, semitonesUp, symbol, toneOf, UP } from './sound.ts';
import { along, inSlot, Rewrites, sharing } from './write.ts';

const NAME = 'pedal-point';

function propose(site: Site): readonly Rewrite[] {
  const rewrites = new Rewrites(site, NAME);
  switch (standingOf(site)) {
    case 'major':
      for (const walk of isLydian(site.held) ? LYDIAN : MAJOR) proposeTonic(site, rewrites, walk);
      if (!isLydian(site.held)) proposeDominant(site, rewrites);
      break;
    case 'minor-home':
      for (const walk of minorWalks(site)) proposeTonic(site, rewrites, walk);
      break;
    case 'minor':
      if (!homeNext(site)) break;
      for (const walk of minorWalks(site)) proposeTonic(site, rewrites, walk);
      break;
    case 'suspended':
      for (const walk of SUSPENDED) proposeTonic(site, rewrites, walk);
      break;
    case 'blues':
      proposeBlues(site, rewrites);
      break;
    case 'dominant':
      if (!isLydian(site.held)) proposeOverDominant(site, rewrites);
      break;
    default:
  }
  return rewrites.all;
}

/** Three chords of the mode, from the held root, that walk over the bass and back. */
interface Walk {
  readonly id: 'triads' | 'walk';
  readonly degree: 'triad' | 'seventh';
  readonly steps: readonly (readonly [up: Spelled, suffix: string])[];
}

const walk = (
  degree: Walk['degree'],
  ...steps: readonly (readonly [up: Spelled, suffix: string])[]
): Walk => ({ id: degree === 'triad' ? 'triads' : 'walk', degree, steps });

/** Diatonic chords over the tonic of each mode. Common practice, no source, but for major (see the examples). */
const MAJOR: readonly Walk[] = [
  walk('seventh', [UP.two, 'm7'], [UP.three, 'm7'], [UP.two, 'm7']),
  walk('triad', [UP.four, ''], [UP.five, ''], [UP.four, '']),
];
const LYDIAN: readonly Walk[] = [walk('triad', [UP.two, ''], [UP.five, ''], [UP.two, ''])];
const DORIAN: readonly Walk[] = [
  walk('seventh', [UP.two, 'm7'], [UP.flatThree, 'maj7'], [UP.two, 'm7']),
  walk('triad', [UP.two, 'm'], [UP.flatThree, ''], [UP.four, '']),
];
const AEOLIAN: readonly Walk[] = [
  walk('triad', [UP.flatSeven, ''], [UP.flatSix, ''], [UP.flatSeven, '']),
];
const MELODIC_MINOR: readonly Walk[] = [walk('triad', [UP.four, ''], [UP.five, ''], [UP.four, ''])];
/** The suspended chord stands on the fifth of its mode: the two, the four and home over its bass. */
const SUSPENDED: readonly Walk[] = [
  walk('seventh', [UP.five, 'm7'], [UP.flatSeven, 'maj7'], [UP.five, 'm7']),
  walk('triad', [UP.flatSeven, ''], [UP.four, ''], [UP.flatSeven, '']),
];

/** Whether a chord sounds a sharp eleven: then the plain four has no place over it. */
function isLydian({ quality }: Chord): boolean {
  return quality.fifths.includes(UP.sharpFour);
}

/** The minor mode of a held home: by its own sixth or seventh, else by the sixth that the tune shows. */
function minorWalks({ held, analysis }: Site): readonly Walk[] {
  const has = (up: Spelled): boolean => held.quality.fifths.includes(up);
  if (has(UP.seven) || has(UP.six)) return MELODIC_MINOR;
  const flatSix = held.root + UP.flatSix;
  const shown = analysis.chords.some(
    ({ harmony }) => harmony.kind === 'chord' && toneOf(harmony, flatSix) !== null,
  );
  return shown ? AEOLIAN : DORIAN;
}

/** Home first, then chords walking over its root, which the bass holds. */
function proposeTonic(site: Site, rewrites: Rewrites, { id, degree, steps }: Walk): void {
  const root = site.held.root;
  const moving = steps.map(([up, suffix]) => over(chordIn(site, root + up, suffix), root));
  const whole = spread(site, 4);
  const end = tailLayouts(site, 4)[0];
  const layouts = [whole, end === undefined || end.at[0] === 0 ? null : end];
  for (const layout of layouts) {
    if (layout === null) continue;
    const place = layout.at[0] === 0 ? 'whole' : 'end';
    rewrites.add({
      degree,
      variant: `home-${id}@${place}-${layout.id}`,
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

/** The blues rocks over its root: the four as a triad above the held bass; with a sharp eleven the two. */
function proposeBlues(site: Site, rewrites: Rewrites): void {
  const root = site.held.root;
  const lydian = isLydian(site.held);
  const upper = over(chordIn(site, root + (lydian ? UP.two : UP.four), ''), root);
  const tells = root + (lydian ? UP.sharpFour : UP.four);
  const home = root + (lydian ? UP.five : UP.three);
  const reason = lydian
    ? `The bass stays on ${note(root)} under the triad a tone above: ${note(tells)} rises to ${note(home)}.`
    : `The bass stays on ${note(root)} and the four rocks above it: ${note(tells)} falls to ${note(home)}, ${note(root + UP.six)} to ${note(root + UP.five)}.`;
  for (const slot of awaySlots(site, homeNext(site)).slice(0, 2)) {
    rewrites.add({
      degree: 'triad',
      variant: `${lydian ? 'II' : 'IV'}-over-home@${slot.id}`,
      carrier: 'band',
      tells,
      home,
      cells: inSlot(slot, upper),
      reason,
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
    'The bass holds home or the dominant while chords change above it, written as slash chords over one bass note. Over home, or over a suspended vamp: chords of its mode walk up and back (two and three in major, or plain triads). Over the dominant: its two hangs above the bass and falls into it, and the bass is let go into home.',
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
