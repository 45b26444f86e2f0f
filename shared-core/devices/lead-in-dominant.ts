import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { around, degreeOf, numeralOf, recognition } from './circle.ts';
import { gridOf } from './grid.ts';
import { isMinorish, standingOf, target } from './home.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { leadTails, type Slot, tail } from './slots.ts';
import { chordIn, note, semitonesUp, symbol, toneOf, UP } from './sound.ts';
import { chordAs, rowIn } from './spelling.ts';
import { inSlot, isStretch, Rewrites } from './write.ts';

const NAME = 'lead-in-dominant';

/** Colours of the dominant by what it goes to. Common practice: flat nine and altered to minor, nine and thirteen to major. */
const TO_MINOR = ['7', '7b9', '7alt'];
const TO_MAJOR = ['7', '9', '7b9'];
/** What a dominant that already stands there may turn into before it resolves. */
const STANDING = ['7b9', '7#5', '7alt'];

function propose(site: Site): readonly Rewrite[] {
  const to = target(site);
  if (to === null || isStretch(site)) return [];
  const rewrites = new Rewrites(site, NAME);
  const root = to.root + UP.five;
  const suspended = standingOf(site) === 'suspended' && semitonesUp(site.held.root, root) === 0;
  // A suspended five opens by itself: see suspended-preparation.
  if (suspended) return [];
  const already =
    site.held.quality.family === 'dominant' && semitonesUp(site.held.root, root) === 0;
  const slots = leadTails(site);
  const whole = gridOf(site).bars === 1 && !already ? tail(site, 'bar', true) : null;
  if (whole !== null) lead(site, rewrites, whole, to, '7');
  slots.forEach((slot, i) => {
    if (already) {
      for (const suffix of i === 0 ? STANDING : ['7b9']) sharpen(site, rewrites, slot, to, suffix);
      return;
    }
    if (i === 0 && !holdsLeading(site, to)) proposeTriads(site, rewrites, slot, to);
    const colours = isMinorish(to) ? TO_MINOR : TO_MAJOR;
    for (const suffix of i === 0 ? colours : ['7']) lead(site, rewrites, slot, to, suffix);
  });
  return rewrites.all;
}

/** Whether the held chord is on that root and has the leading note already: its plain triad would say nothing. */
function holdsLeading({ held }: Site, to: Chord): boolean {
  const onRoot = semitonesUp(to.root, held.root) === 7;
  return onRoot && toneOf(held, to.root + UP.seven) !== null;
}

/** The dominant of a chord, a fifth above it on paper too. */
function fiveOf(site: Site, to: Chord, suffix: string): Chord {
  const [five] = rowIn(site, [[to.root + UP.five, suffix]], to);
  if (five === undefined) throw new Error('A row of one chord holds one chord');
  return five;
}

/** The leading note alone, and the plain triad. */
function proposeTriads(site: Site, rewrites: Rewrites, slot: Slot, to: Chord): void {
  const triad = chordAs(fiveOf(site, to, '7').root, '');
  const leading = to.root + UP.seven;
  rewrites.add({
    degree: 'note',
    variant: `leading@${slot.id}`,
    carrier: 'soloist',
    tells: leading,
    home: to.root,
    cells: inSlot(slot, triad),
    reason: `Just ${note(leading)}, the leading note: it rises a semitone to ${note(to.root)}, the root of ${symbol(to)}.`,
  });
  rewrites.add({
    degree: 'triad',
    variant: `V@${slot.id}`,
    carrier: 'either',
    tells: leading,
    home: to.root,
    cells: inSlot(slot, triad),
    reason: `The plain dominant triad of ${symbol(to)}: ${note(leading)} rises a semitone to ${note(to.root)}.`,
  });
}

/** The dominant of the next chord at the end of the span. */
function lead(site: Site, rewrites: Rewrites, slot: Slot, to: Chord, suffix: string): void {
  const five = fiveOf(site, to, suffix);
  const leading = to.root + UP.seven;
  const turned =
    semitonesUp(site.held.root, five.root) === 0 && site.held.quality.family === 'minor';
  const opening = turned
    ? `${symbol(site.held)} turns dominant, ${note(site.held.root + UP.flatThree)} up to ${note(leading)}`
    : `${symbol(five)} leads into ${symbol(to)}`;
  rewrites.add({
    degree: 'seventh',
    variant: `V${suffix}@${slot.id}`,
    carrier: 'either',
    tells: leading,
    home: to.root,
    cells: inSlot(slot, five),
    reason: `${opening}: ${note(leading)} rises a semitone to ${note(to.root)}, and the root falls a fifth.`,
  });
}

/** The dominant that is held already takes on colour before it resolves. */
function sharpen(site: Site, rewrites: Rewrites, slot: Slot, to: Chord, suffix: string): void {
  const five = chordIn(site, site.held.root, suffix);
  const raised = suffix !== '7b9';
  const told = site.held.root + (raised ? UP.sharpFive : UP.flatTwo);
  const third = to.root + (isMinorish(to) ? UP.flatThree : UP.three);
  const home = raised ? third : to.root + UP.five;
  const way = raised ? 'goes to' : 'falls a semitone to';
  rewrites.add({
    degree: 'seventh',
    variant: `sharpen-${suffix}@${slot.id}`,
    carrier: 'either',
    tells: told,
    home,
    cells: inSlot(slot, five),
    reason: `The dominant darkens before it resolves: ${note(told)} ${way} ${note(home)} of ${symbol(to)}.`,
  });
}

/** A dominant a fifth above the next chord that is not simply the five of the key. */
function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null || seen.here.quality.family !== 'dominant') return null;
  if (semitonesUp(seen.here.root, seen.next.root) !== 5) return null;
  if (degreeOf(seen.reading, seen.next) === 0) return null;
  const roman = `V7/${numeralOf(seen.reading, seen.next)}`;
  return recognition(NAME, index, seen.nextAt, roman, 'dominant', 0.3);
}

/** The dominant of the next chord at the end of the stretch. */
export const leadInDominant: Device = {
  name: NAME,
  label: 'Lead-in dominant',
  definition:
    'The dominant of the chord that follows takes the end of the stretch, half a bar or a bar. A minor chord that stands a fifth above the next root turns dominant where it is (Em7 becomes E7 before Am7). A dominant that is held already darkens before it resolves.',
  source:
    'M. Lavengood, Open Music Theory, Embellishing Chords (jazz); Jazz Chords: secondary dominants (jazzguitarlessons.net); T. Seabrook, Jazz Tip of the Month No. 22, for the minor chord turned dominant.',
  usual: { elsewhere: 1 },
  propose,
  recognise,
  examples: [
    {
      key: 'C major',
      before: '| Cmaj7 | Cmaj7 |',
      after: '| Cmaj7 | Cmaj7 E7 |',
      next: 'Am7',
      source: 'Open Music Theory, Embellishing Chords (jazz)',
    },
    {
      key: 'Bb major',
      before: '| Bbmaj7 | Bbmaj7 | Bbmaj7 | Bbmaj7 |',
      after: '| Bbmaj7 | Bbmaj7 | Bbmaj7 | Bb7 |',
      next: 'Ebmaj7',
      source: 'Open Music Theory, Embellishing Chords (jazz)',
    },
    {
      key: 'C major',
      before: '| Em7 | Em7 |',
      after: '| Em7 | E7 |',
      next: 'Am7',
      source: 'T. Seabrook, Jazz Tip of the Month No. 22',
    },
    {
      key: 'C major',
      before: '| Em7 |',
      after: '| Em7 E7 |',
      next: 'Am7',
      source: 'T. Seabrook, Jazz Tip of the Month No. 22',
    },
  ],
};
