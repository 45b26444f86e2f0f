import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { distanceFrom } from '../pitch/copyist.ts';
import type { Key } from '../pitch/key.ts';
import { around, numeralOf, recognition } from './circle.ts';
import { isMinorish, resolves, target } from './home.ts';
import { type Layout, tailLayouts } from './layouts.ts';
import type { Change, Device, Rewrite, Site } from './model.ts';
import { chordIn, note, semitonesUp, symbol, UP } from './sound.ts';
import { chordAs, rowIn, type Step } from './spelling.ts';
import { along, type Cell, isStretch, Rewrites, writtenChords } from './write.ts';

const NAME = 'dominant-chain';

/** Chains of two to four links; a fifth link is past what an ear follows in two or four bars. Common practice. */
const LINKS = [2, 3, 4] as const;

/** The chain counted back from its arrival: the last link a fifth above it, each before that a fifth higher still. */
function chain(site: Site, to: Chord, links: number): readonly Chord[] {
  const steps = Array.from({ length: links }, (_, i): Step => [to.root + links - i, '7']);
  return rowIn(site, steps, to);
}

/** Every second link, counted back from the arrival, gives way to the dominant a tritone away. */
function withSubstitutes(site: Site, to: Chord, links: readonly Step[]): readonly Chord[] {
  const steps = links.map((link, i): Step => {
    if ((links.length - i) % 2 === 0) return link;
    const [root, suffix] = 'kind' in link ? [link.root, link.quality.suffix] : link;
    return [root + UP.flatFive, suffix];
  });
  return rowIn(site, steps, to);
}

function propose(site: Site): readonly Rewrite[] {
  const to = target(site);
  if (to === null) return [];
  const rewrites = new Rewrites(site, NAME);
  if (isStretch(site)) {
    proposeOnStretch(site, rewrites, to);
    return rewrites.all;
  }
  for (const links of LINKS) {
    const layouts = tailLayouts(site, links).slice(0, 2);
    layouts.forEach((layout, i) => {
      const row = chain(site, to, links);
      const triads = row.map(({ root }) => chordAs(root, ''));
      if (i === 0 && links < 4) state(rewrites, to, layout, triads, 'triad');
      state(rewrites, to, layout, row, 'seventh');
    });
    const first = layouts[0];
    if (first !== undefined && links > 2) proposeSubstituted(site, rewrites, to, first, links);
  }
  proposeWithTwos(site, rewrites, to);
  return rewrites.all;
}

function state(
  rewrites: Rewrites,
  to: Chord,
  layout: Layout,
  links: readonly Chord[],
  degree: 'triad' | 'seventh',
): void {
  rewrites.add({
    degree,
    variant: `${links.length}${degree === 'triad' ? '-triads' : ''}@${layout.id}`,
    carrier: 'either',
    tells: to.root + UP.seven,
    home: to.root,
    cells: along(layout, links),
    reason: `Dominants in a row, ${links.map(symbol).join(' ')}: each root falls a fifth, and at the end ${note(to.root + UP.seven)} rises home to ${note(to.root)}.`,
  });
}

function proposeSubstituted(
  site: Site,
  rewrites: Rewrites,
  to: Chord,
  layout: Layout,
  count: number,
): void {
  const steps = Array.from({ length: count }, (_, i): Step => [to.root + count - i, '7']);
  const links = withSubstitutes(site, to, steps);
  rewrites.add({
    degree: 'seventh',
    variant: `${count}-falling@${layout.id}`,
    carrier: 'band',
    tells: to.root + UP.flatTwo,
    home: to.root,
    cells: along(layout, links),
    reason: fallingReason(links, to),
  });
}

function fallingReason(links: readonly Chord[], to: Chord): string {
  return `Dominants falling by semitones, ${links.map(symbol).join(' ')}: the bass walks ${links.map((link) => note(link.root)).join(' ')} down to ${note(to.root)}.`;
}

/** The last two links, each with its own two; where there are three bars, three of them a step apart. */
function proposeWithTwos(site: Site, rewrites: Rewrites, to: Chord): void {
  proposeThreeTwoFives(site, rewrites, to);
  const chords = twoFives(site, to, 'm7', 2);
  for (const layout of tailLayouts(site, 4).slice(0, 2)) {
    rewrites.add({
      degree: 'full',
      variant: `two-fives@${layout.id}`,
      carrier: 'band',
      tells: to.root + UP.seven,
      home: to.root,
      cells: along(layout, chords),
      reason: `Two two-fives a step apart, ${chords.map(symbol).join(' ')}: the seventh of each two falls a semitone, ${note(to.root + UP.two)} to ${note(to.root + UP.sharpOne)} and ${note(to.root)} to ${note(to.root + UP.seven)}.`,
    });
  }
}

/** Two-fives falling by whole tones, counted back from their arrival; the first two of its own kind. */
function twoFives(site: Site, to: Chord, first: string, count: number): readonly Chord[] {
  const steps = Array.from({ length: 2 * count }, (_, i): Step => {
    const last = i === 2 * count - 2 && isMinorish(to);
    const two = last ? 'm7b5' : i === 0 ? first : 'm7';
    return [to.root + 2 * count - i, i % 2 === 0 ? two : '7'];
  });
  return rowIn(site, steps, to);
}

/** Whether the long way starts on a root of the key or on its raised four: then the ear still has its bearings. */
function startsInKey(site: Site, to: Chord): boolean {
  return distanceFrom(site.key, to.root + UP.sharpFour) <= UP.sharpFour;
}

/** Three two-fives falling by whole tones in half bars, the first from a half-diminished: the long way to the four of a blues. */
function proposeThreeTwoFives(site: Site, rewrites: Rewrites, to: Chord): void {
  const layout = tailLayouts(site, 6).find((found) => found.id === 'halves');
  if (layout === undefined || isMinorish(to) || !startsInKey(site, to)) return;
  const chords = twoFives(site, to, 'm7b5', 3);
  rewrites.add({
    degree: 'full',
    variant: `three-two-fives@${layout.id}`,
    carrier: 'band',
    tells: to.root + UP.seven,
    home: to.root,
    cells: along(layout, chords),
    reason: `Three two-fives, each a step lower, ${chords.map(symbol).join(' ')}: every dominant falls into the next two, and ${note(to.root + UP.seven)} rises home to ${note(to.root)}.`,
  });
}

/** Over written dominants in a row: every second one gives way to its tritone substitute. */
function proposeOnStretch(site: Site, rewrites: Rewrites, to: Chord): void {
  const links = writtenChords(site);
  const last = links?.at(-1);
  if (links === null || last === undefined || semitonesUp(last.root, to.root) !== 5) return;
  const falling = links.every((link, i) => {
    const next = links[i + 1] ?? to;
    return link.quality.family === 'dominant' && semitonesUp(link.root, next.root) === 5;
  });
  if (!falling) return;
  const written = withSubstitutes(site, to, links);
  const cells: readonly Cell[] = site.written.map((change, i) => ({
    at: change.at,
    end: change.at + change.length,
    harmony: written[i] ?? change.harmony,
  }));
  rewrites.add({
    degree: 'seventh',
    variant: 'every-second-link',
    carrier: 'band',
    tells: to.root + UP.flatTwo,
    home: to.root,
    cells,
    reason: fallingReason(written, to),
  });
}

/** A dominant that resolves to another dominant: a link of a chain that is not the last. */
function isLink(chords: readonly ChordReading[], index: number): number | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null || seen.here.quality.family !== 'dominant') return null;
  const { here, next, nextAt } = seen;
  return next.quality.family === 'dominant' && resolves(here, next) ? nextAt : null;
}

function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  const to = isLink(chords, index);
  if (seen === null || seen.next === null || to === null) return null;
  // I7 of a blues sounds like a link and is home.
  if (chords[to]?.function === 'home') return null;
  const roman = semitonesUp(seen.here.root, seen.next.root) === 5 ? 'V7/' : 'subV7/';
  const numeral = numeralOf(seen.reading, seen.next);
  return recognition(NAME, index, to, `${roman}${numeral}`, 'dominant', 0.2);
}

/** The window with every second link, counted back from its end, turned back into the dominant it stands for. */
function plainer(window: readonly Change[], key: Key): readonly (readonly Change[])[] {
  const straight = window.map((change, i) => {
    const { harmony } = change;
    const swap = (window.length - i) % 2 === 1 && harmony.kind === 'chord';
    return swap ? { ...change, harmony: chordIn(key, harmony.root + UP.sharpFour, '7') } : change;
  });
  return window.length > 1 ? [straight] : [];
}

/** Dominants in a row, counted back from where they arrive. */
export const dominantChain: Device = {
  name: NAME,
  label: 'Dominant chain',
  definition:
    'Two to four dominant sevenths in a row, each a fifth above the next, counted back from the chord they arrive on. Any link may give way to its tritone substitute, so that the bass falls by semitones; in the full form the last two bring their twos.',
  source:
    'F. Singer, Secondary and Extended Dominants; Jazz Chords: back cycling (jazzguitarlessons.net); Wikipedia, Chord rewrite rules, on M. Steedman 1984.',
  usual: { elsewhere: 0.7 },
  propose,
  recognise,
  plainer,
  examples: [
    {
      key: 'C major',
      before: '| Cmaj7 | Cmaj7 |',
      after: '| E7 A7 | D7 G7 |',
      next: 'Cmaj7',
      source: 'F. Singer, Secondary and Extended Dominants',
    },
    {
      key: 'Bb major',
      before: '| Bbmaj7 | Bbmaj7 | Bbmaj7 | Bbmaj7 |',
      after: '| D7 | G7 | C7 | F7 |',
      next: 'Bbmaj7',
      source: 'F. Singer, Secondary and Extended Dominants',
    },
    {
      key: 'G major',
      before: '| B7 E7 | A7 D7 |',
      after: '| B7 Bb7 | A7 Ab7 |',
      next: 'Gmaj7',
      source: 'Open Music Theory, Substitutions (jazz)',
    },
  ],
};
