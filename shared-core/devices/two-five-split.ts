import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import type { Spelled } from '../pitch/spelled.ts';
import { around, degreeOf, recognition } from './circle.ts';
import { gridOf, isStrong } from './grid.ts';
import { isMinorish, isTonic, standingOf, wayInto } from './home.ts';
import { spread } from './layouts.ts';
import type { Device, DeviceDegree, Rewrite, Site } from './model.ts';
import { halvedBars, leadTails, pairSlots, type Slot } from './slots.ts';
import { chordIn, note, semitonesUp, symbol, UP } from './sound.ts';
import { along, type Cell, inSlot, Rewrites, sharing } from './write.ts';

const NAME = 'two-five-split';

function propose(site: Site): readonly Rewrite[] {
  const rewrites = new Rewrites(site, NAME);
  switch (standingOf(site)) {
    case 'dominant':
    case 'blues':
      if (isOwn(site, site.held.root)) proposeOnDominant(site, rewrites);
      break;
    case 'minor':
    case 'minor-home':
    case 'half-diminished':
      if (isOwn(site, site.held.root + UP.four)) proposeOnTwo(site, rewrites);
      break;
    default:
  }
  return rewrites.all;
}

/**
 * A two-five that goes in by the backdoor or from a tritone away has its own name, and its own device; a
 * five on the root of what follows leads nowhere.
 */
function isOwn(site: Site, five: Spelled): boolean {
  const { next } = site;
  if (
    next !== null &&
    semitonesUp(site.held.root, five) !== 0 &&
    semitonesUp(five, next.root) === 0
  )
    return next.quality.family === 'dominant';
  const way = wayInto(site, five);
  return way === 'five' || way === null;
}

/** The related two of a held dominant: half-diminished where the dominant goes to a minor chord. */
function twoOf(site: Site, degree: 'triad' | 'seventh'): Chord {
  const { next, held } = site;
  const minor = next !== null && isMinorish(next) && semitonesUp(held.root, next.root) === 5;
  const suffix = degree === 'triad' ? (minor ? 'dim' : 'm') : minor ? 'm7b5' : 'm7';
  return chordIn(site, held.root + UP.five, suffix);
}

/** Why the split moves: the fourth of the dominant is the two's seventh and falls to the third. */
function told(five: Spelled): { tells: Spelled; home: Spelled; words: string } {
  const tells = five + UP.four;
  const home = five + UP.three;
  return {
    tells,
    home,
    words: `the seventh of the two, ${note(tells)}, falls to ${note(home)}, the third of the five`,
  };
}

/** Whether the minor seventh is in the chord. */
function hasSeventh(chord: Chord): boolean {
  return (chord.quality.chromaMask & (1 << 10)) !== 0;
}

/** A minor triad or sixth has no seventh to fall: the third of the five is the bright sixth, falling back to the fifth. */
function toldWithoutSeventh(two: Spelled): { tells: Spelled; home: Spelled; words: string } {
  const tells = two + UP.six;
  const home = two + UP.five;
  return {
    tells,
    home,
    words: `${note(tells)}, the third of the five, falls back to ${note(home)}`,
  };
}

/** A held dominant shares its time with its two. */
function proposeOnDominant(site: Site, rewrites: Rewrites): void {
  const { held } = site;
  const { words, ...notes } = told(held.root);
  const state = (degree: DeviceDegree, id: string, two: Chord, pairs: number): void => {
    const layout = spread(site, pairs * 2);
    if (layout === null) return;
    rewrites.add({
      ...notes,
      degree,
      variant: `${id}@whole-${layout.id}`,
      carrier: 'either',
      cells: along(
        layout,
        Array.from({ length: pairs * 2 }, (_, i) => (i % 2 === 0 ? two : held)),
      ),
      reason: `${symbol(held)} shares its time with ${symbol(two)}: ${words}.`,
    });
  };
  const two = twoOf(site, 'seventh');
  // The seventh chord that is home in a blues opens its own stretch.
  if (!isBluesHome(site)) {
    stateTriad(site, rewrites);
    state('seventh', 'ii', two, 1);
    if (gridOf(site).bars >= 4) state('seventh', 'ii-twice', two, 2);
  }
  if (gridOf(site).bars >= 2) rockBars(site, rewrites, two, held, notes, words);
  for (const slot of pairsFor(site)) {
    rewrites.add({
      ...notes,
      degree: 'full',
      variant: `ii-V-inside@${slot.id}`,
      carrier: 'either',
      cells: insideCells(site, slot, two, held),
      reason: `A two-five laid over the held ${symbol(held)}: ${words}.`,
    });
  }
}

function isBluesHome(site: Site): boolean {
  return standingOf(site) === 'blues' && isTonic(site);
}

/** Where a two-five is laid in: at the end first when the chord goes on to its target, as bars three and four of a blues. */
function pairsFor(site: Site): readonly Slot[] {
  const pairs = pairSlots(site, true);
  if (!isBluesHome(site) || wayInto(site, site.held.root) !== 'five') return pairs.slice(0, 2);
  const atEnd = pairs.filter((slot) => slot.into === 'next');
  return [...atEnd, ...pairs.slice(0, 1)].filter((slot, i, all) => all.indexOf(slot) === i);
}

/** The two, and the five back on a strong place: where the two chords share the slot, or at its end. Before the next chord the five must sound. */
function insideCells(site: Site, slot: Slot, two: Chord, five: Chord): readonly Cell[] {
  const shared = slot.middle !== null && isStrong(site, slot.middle);
  return shared || slot.into === 'next' ? sharing(slot, two, five) : inSlot(slot, two);
}

/** The plain triad of the two first: its fifth lies a step above the root of the five and falls into it. */
function stateTriad(site: Site, rewrites: Rewrites): void {
  const layout = spread(site, 2);
  if (layout === null) return;
  const { held } = site;
  const two = twoOf(site, 'triad');
  const fifth = held.root + (isMinorish(two) && two.quality.suffix === 'dim' ? UP.flatTwo : UP.two);
  rewrites.add({
    degree: 'triad',
    variant: `ii-triad@whole-${layout.id}`,
    carrier: 'either',
    tells: fifth,
    home: held.root,
    cells: along(layout, [two, held]),
    reason: `${symbol(held)} shares its time with the plain triad of its two: ${note(fifth)} falls to ${note(held.root)}.`,
  });
}

/** Two and five in every bar. */
function rockBars(
  site: Site,
  rewrites: Rewrites,
  two: Chord,
  five: Chord,
  notes: { tells: Spelled; home: Spelled },
  words: string,
): void {
  const bars: readonly Slot[] = halvedBars(site);
  if (bars.length === 0) return;
  rewrites.add({
    ...notes,
    degree: 'full',
    variant: 'every-bar',
    carrier: 'band',
    cells: bars.flatMap((slot) => sharing(slot, two, five)),
    reason: `Two and five in every bar, ${symbol(two)} ${symbol(five)}: ${words}.`,
  });
}

/** A held two (or a minor vamp) brings in its five: at the end, or in the second half of every bar. */
function proposeOnTwo(site: Site, rewrites: Rewrites): void {
  const { held, next } = site;
  const root = held.root + UP.four;
  const { words, ...notes } = hasSeventh(held) ? told(root) : toldWithoutSeventh(held.root);
  const suffix = held.quality.family === 'half-diminished' ? '7b9' : '7';
  const five = chordIn(site, root, suffix);
  const resolves = next !== null && semitonesUp(root, next.root) === 5;
  if (standingOf(site) === 'minor-home') {
    rockBars(site, rewrites, held, five, notes, words);
    return;
  }
  if (!resolves) {
    for (const slot of leadTails(site)) {
      rewrites.add({
        ...notes,
        degree: 'seventh',
        variant: `V${suffix}@${slot.id}`,
        carrier: 'either',
        cells: inSlot(slot, five),
        reason: `The held two brings in its five, ${symbol(five)}: ${words}.`,
      });
    }
  }
  rockBars(site, rewrites, held, five, notes, words);
}

/**
 * A two that shares the time of a dominant which is not the key's own five (that is plain harmony, and
 * no device), or that rocks with it.
 */
function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null) return null;
  const { here, next, reading } = seen;
  const two = here.quality.family === 'minor' || here.quality.family === 'half-diminished';
  if (!two || next.quality.family !== 'dominant') return null;
  if (semitonesUp(here.root, next.root) !== 5) return null;
  const ofTheKey = degreeOf(reading, here) === 2;
  const rocks = seen.previous !== null && sameChord(seen.previous, next);
  if (ofTheKey && !rocks) return null;
  const roman = here.quality.family === 'minor' ? 'ii7' : 'iim7b5';
  // Every two-five is a dominant that shares its time; as a reading it is too plain to be named.
  return recognition(NAME, index, seen.nextAt, ofTheKey ? roman : null, 'departure', 1.1);
}

/** A dominant shares its time with its two. */
export const twoFiveSplit: Device = {
  name: NAME,
  label: 'Two-five split',
  definition:
    'The time of a held dominant is divided between its related two and itself, once, twice, or in every bar; the two is half-diminished where the dominant goes to a minor chord. A held two, or a minor vamp, brings in its five the same way.',
  source:
    'M. Lavengood, Open Music Theory, Embellishing Chords (jazz); Jazz Chords: ii-V interpolation (jazzguitarlessons.net).',
  usual: { elsewhere: 0.9 },
  propose,
  recognise,
  examples: [
    {
      key: 'C major',
      before: '| G7 | G7 |',
      after: '| Dm7 | G7 |',
      next: 'Cmaj7',
      source: 'Open Music Theory, Embellishing Chords (jazz)',
    },
    {
      key: 'F major',
      before: '| C7 | C7 | C7 | C7 |',
      after: '| Gm7 | C7 | Gm7 | C7 |',
      next: 'Fmaj7',
      source: 'Jazz Chords: ii-V interpolation (jazzguitarlessons.net)',
    },
    {
      key: 'Eb major',
      before: '| Bb7 |',
      after: '| Fm7 Bb7 |',
      next: 'Ebmaj7',
      source: 'Jazz Chords: ii-V interpolation (jazzguitarlessons.net)',
    },
  ],
};
