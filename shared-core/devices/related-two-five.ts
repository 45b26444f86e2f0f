import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { around, chordAt, degreeOf, nextIndex, numeralOf, recognition } from './circle.ts';
import { isMinorish, target } from './home.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { leadPairs, type Slot } from './slots.ts';
import { note, semitonesUp, symbol, twoFive, UP } from './sound.ts';
import { isStretch, Rewrites, sharing } from './write.ts';

const NAME = 'related-two-five';

/** Two and five of a chord, plainest first: half-diminished and flat nine before a minor chord. */
function colours(to: Chord): readonly (readonly [string, string])[] {
  return isMinorish(to)
    ? [
        ['m7b5', '7'],
        ['m7b5', '7b9'],
        ['m7', '7'],
      ]
    : [
        ['m7', '7'],
        ['m9', '13'],
      ];
}

function propose(site: Site): readonly Rewrite[] {
  const to = target(site);
  if (to === null || isStretch(site)) return [];
  const two = to.root + UP.two;
  const five = to.root + UP.five;
  const { held } = site;
  const twoIsHeld = semitonesUp(held.root, two) === 0 && isMinorish(held);
  const fiveIsHeld = semitonesUp(held.root, five) === 0 && held.quality.family === 'dominant';
  if (twoIsHeld || fiveIsHeld) return [];
  const rewrites = new Rewrites(site, NAME);
  const told = { tells: to.root + UP.seven, home: to.root };
  leadPairs(site).forEach((slot, i) => {
    if (i === 0) proposeTriads(site, rewrites, slot, to);
    for (const suffixes of i === 0 ? colours(to) : colours(to).slice(0, 1)) {
      const [ii, v] = twoFive(site, two, suffixes, to);
      rewrites.add({
        ...told,
        degree: 'full',
        variant: `ii${suffixes[0]}-V${suffixes[1]}@${slot.id}`,
        carrier: 'either',
        cells: sharing(slot, ii, v),
        reason: `Two-five into ${symbol(to)}: the seventh of ${symbol(ii)}, ${note(to.root)}, falls to ${note(told.tells)}, the third of ${symbol(v)}, which rises home to ${note(to.root)}.`,
      });
    }
  });
  return rewrites.all;
}

/** Two and five as plain triads. */
function proposeTriads(site: Site, rewrites: Rewrites, slot: Slot, to: Chord): void {
  const [two, five] = twoFive(site, to.root + UP.two, [isMinorish(to) ? 'dim' : 'm', ''], to);
  const leading = to.root + UP.seven;
  rewrites.add({
    tells: leading,
    home: to.root,
    degree: 'triad',
    variant: `ii-V@${slot.id}`,
    carrier: 'either',
    cells: sharing(slot, two, five),
    reason: `Two and five of ${symbol(to)} in plain triads: ${note(to.root)} sinks to ${note(leading)} and comes back to ${note(to.root)}.`,
  });
}

/** The two of a dominant that goes home somewhere else than the local tonic. */
function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const seen = around(chords, index);
  if (seen === null || seen.next === null) return null;
  const { here, next, reading } = seen;
  const two = here.quality.family === 'minor' || here.quality.family === 'half-diminished';
  if (!two || next.quality.family !== 'dominant') return null;
  if (semitonesUp(here.root, next.root) !== 5) return null;
  const afterAt = nextIndex(chords, seen.nextAt);
  const after = afterAt === null ? null : chordAt(chords, afterAt);
  if (after === null || semitonesUp(next.root, after.root) !== 5) return null;
  if (degreeOf(reading, after) === 0) return null;
  const numeral = here.quality.family === 'minor' ? 'ii7' : 'iim7b5';
  return recognition(
    NAME,
    index,
    seen.nextAt,
    `${numeral}/${numeralOf(reading, after)}`,
    'departure',
    0.3,
  );
}

/** The two-five of the next chord at the end of the stretch. */
export const relatedTwoFive: Device = {
  name: NAME,
  label: 'Two-five of the next chord',
  definition:
    'The dominant of the chord that follows comes with its two: a minor seventh before a major or dominant chord, a half-diminished before a minor one. The two chords share the last bar, or take a bar each.',
  source:
    'M. Lavengood, Open Music Theory, Embellishing Chords (jazz): applied ii-V; Jazz Chords: ii-V interpolation (jazzguitarlessons.net).',
  usual: { elsewhere: 0.95 },
  propose,
  recognise,
  examples: [
    {
      key: 'C major',
      before: '| Cmaj7 | Cmaj7 |',
      after: '| Cmaj7 | Bm7b5 E7 |',
      next: 'Am7',
      source: 'Open Music Theory, Embellishing Chords (jazz)',
    },
    {
      key: 'Eb major',
      before: '| Ebmaj7 | Ebmaj7 | Ebmaj7 | Ebmaj7 |',
      after: '| Ebmaj7 | Ebmaj7 | Bbm7 | Eb7 |',
      next: 'Abmaj7',
      source: 'Open Music Theory, Embellishing Chords (jazz)',
    },
    {
      key: 'F major',
      before: '| Fmaj7 | Fmaj7 |',
      after: '| Fmaj7 | Am7b5 D7 |',
      next: 'Gm7',
      source: 'Open Music Theory, Embellishing Chords (jazz)',
    },
  ],
};
