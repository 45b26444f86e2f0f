import type { ChordReading, Recognition } from '../analysis/model.ts';
import type { Chord } from '../chord/model.ts';
import { sameChord } from '../chord/same.ts';
import { recognition, wrap } from './circle.ts';
import { isTriad } from './home.ts';
import type { Device, Rewrite, Site } from './model.ts';
import { tails } from './slots.ts';
import { note, symbol, UP } from './sound.ts';
import { inSlot, isStretch, Rewrites } from './write.ts';

const NAME = 'early-arrival';

const EARLY = { beat: 'a beat', half: 'half a bar', bar: 'a bar', long: 'two bars' } as const;

/** The third of a chord, which says at once where the band has gone; its fourth where it is suspended. */
function thirdOf(chord: Chord): number {
  const { family } = chord.quality;
  if (family === 'suspended') return chord.root + UP.four;
  const minor = family === 'minor' || family === 'half-diminished' || family === 'diminished';
  return chord.root + (minor ? UP.flatThree : UP.three);
}

function propose(site: Site): readonly Rewrite[] {
  const { next } = site;
  if (next === null || isStretch(site) || sameChord(next, site.held)) return [];
  const rewrites = new Rewrites(site, NAME);
  const third = thirdOf(next);
  for (const slot of tails(site, ['half', 'bar', 'beat'])) {
    rewrites.add({
      degree: isTriad(next) ? 'triad' : 'seventh',
      variant: `next@${slot.id}`,
      carrier: slot.size === 'bar' ? 'either' : 'band',
      tells: third,
      home: third,
      cells: inSlot(slot, next),
      reason: `${symbol(next)} is already there ${EARLY[slot.size]} before its bar line; ${note(third)}, its third, says so.`,
    });
  }
  return rewrites.all;
}

/** The chord of the next bar line, already written before it: struck late in a bar and again on the one. */
function recognise(chords: readonly ChordReading[], index: number): Recognition | null {
  const here = chords[wrap(chords, index)];
  const nextAt = wrap(chords, index + 1);
  const next = chords[nextAt];
  if (here === undefined || next === undefined || nextAt === wrap(chords, index)) return null;
  if (!sameChord(here.harmony, next.harmony) || here.harmony.kind === 'none') return null;
  if (here.beat === 1 || next.beat !== 1 || here.length > next.length) return null;
  const before = chords[wrap(chords, index - 1)];
  if (before === undefined || sameChord(before.harmony, here.harmony)) return null;
  return recognition(NAME, index, nextAt, null, here.function, 1.2);
}

/** The next chord comes in before its bar line. */
export const earlyArrival: Device = {
  name: NAME,
  label: 'Early arrival',
  definition:
    'The chord that follows comes in early and takes the last beat, half bar or bar of the stretch. No chord is added; the harmony moves earlier, and its own bar line finds it already there.',
  source: 'common practice, no source',
  usual: { elsewhere: 0.85 },
  propose,
  recognise,
  examples: [
    {
      key: 'C major',
      before: '| Cmaj7 | Cmaj7 |',
      after: '| Cmaj7 | Cmaj7 Am7 |',
      next: 'Am7',
      source: 'common practice, no source',
    },
    {
      key: 'F major',
      before: '| Fmaj7 | Fmaj7 | Fmaj7 | Fmaj7 |',
      after: '| Fmaj7 | Fmaj7 | Fmaj7 | Bbmaj7 |',
      next: 'Bbmaj7',
      source: 'common practice, no source',
    },
    {
      key: 'Bb major',
      before: '| Bbmaj7 | Bbmaj7 |',
      after: '| Bbmaj7 | Bbmaj7 / / Gm7 |',
      next: 'Gm7',
      source: 'common practice, no source',
    },
  ],
};
