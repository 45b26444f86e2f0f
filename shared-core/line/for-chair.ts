import type { Realisation } from '../arrangement/model.ts';
import type { Key } from '../pitch/key.ts';
import type { Ticks } from '../time/meter.ts';
import type { Chorus, TimedHarmony } from '../tune/model.ts';
import type { Compass } from './guide.ts';
import type { LineDegree, LineInput, LineStory } from './model.ts';

/** Who the line is for and where it stands. */
export interface ChairLine {
  readonly chorus: Chorus;
  readonly realisation: Realisation;
  readonly key: Key;
  /** 0-based chorus of the arrangement. */
  readonly order: number;
  /** Sounding compass of the chair's instrument. */
  readonly compass: Compass;
  readonly degree: LineDegree;
  readonly seed: number;
}

/**
 * What an example line for one chair in one chorus is made from: the changes the soloist plays over there,
 * with the notes that tell and come home wherever a kept proposal has them. All times are chorus ticks.
 *
 * @throws RangeError when the arrangement has no such chorus
 * @example exampleLine(lineForChair({ chorus, realisation, key, order: 1, compass, degree: 'medium', seed: 1 }))
 */
export function lineForChair(wish: ChairLine): LineInput {
  const { chorus, realisation, order } = wish;
  if (!realisation.choruses[order]) throw new RangeError(`There is no chorus ${order + 1}`);
  const from = order * realisation.chorusLength;
  return {
    bars: chorus.bars.map(({ start, length, meter }) => ({ start, length, meter })),
    harmony: clipped(realisation.solo, from, realisation.chorusLength),
    key: wish.key,
    compass: wish.compass,
    degree: wish.degree,
    seed: wish.seed,
    stories: storiesIn(realisation, from),
  };
}

/** What sounds in [from, from + length), counted from its start. */
function clipped(line: readonly TimedHarmony[], from: Ticks, length: Ticks): TimedHarmony[] {
  return line
    .filter((event) => event.start < from + length && event.start + event.length > from)
    .map((event) => {
      const start = Math.max(event.start, from);
      const end = Math.min(event.start + event.length, from + length);
      return { ...event, start: start - from, length: end - start };
    });
}

/** Rewrites that sound in the chorus, the soloist's own before the band's; one may begin in the chorus before. */
function storiesIn({ placements, chorusLength }: Realisation, from: Ticks): LineStory[] {
  return placements
    .filter(({ start, length }) => start < from + chorusLength && start + length > from)
    .sort((a, b) => rank(a.placement.layer) - rank(b.placement.layer))
    .flatMap(({ start, length, placement: { origin } }) =>
      origin.kind === 'proposal'
        ? [{ start: start - from, length, tells: origin.tells, home: origin.home }]
        : [],
    );
}

function rank(layer: 'band' | 'soloist'): number {
  return layer === 'soloist' ? 0 : 1;
}
