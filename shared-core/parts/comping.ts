import type { BarPlace, StaffWriter } from './content.ts';
import { kicksOf } from './drum-words.ts';
import type { PartEvent } from './model.ts';
import { hitsOnly, offBeats, silenced, slashes, slashesWithHits } from './slashes.ts';

/** Guitar and piano: slashes for time, stemmed heads where a chord is pushed. */
export const COMPING: StaffWriter = {
  events: ({ bar, band }) =>
    silenced(
      slashesWithHits(bar.meter, bar.length, offBeats(bar.meter, band.chords)),
      band,
      bar.length,
    ),
  implied: (events) => events.every(({ kind }) => kind === 'slash'),
  under: (words, place) => underWords(words, place),
};

/**
 * Drums: the same road without chords; hits where the band is off the beat or brings a chord in early, for
 * the kit kicks them too. Time goes on under N.C.
 */
export const DRUMS: StaffWriter = {
  events: (place) => slashesWithHits(place.bar.meter, place.bar.length, kicksOf(place)),
  under: (words, place) => underWords(words, place),
};

function underWords(
  words: Parameters<StaffWriter['under']>[0],
  { bar, band }: BarPlace,
): readonly PartEvent[] | null {
  switch (words) {
    case 'hits':
      return hitsOnly(bar.meter, bar.length, band.chords);
    case 'time':
      return slashes(bar.meter, bar.length);
    default:
      return null;
  }
}
