import type { Band, Chair } from '../arrangement/band.ts';
import type { Realisation } from '../arrangement/model.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { instrumentById } from '../pitch/instruments.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony } from '../tune/model.ts';
import type { Voicing } from '../voicing/model.ts';
import { type PathOptions, voicePath } from '../voicing/path.ts';

/** Voicings by the tick their chord begins at, from the first chorus' start. */
export type VoicedLine = ReadonlyMap<Ticks, Voicing>;

/**
 * The voicings a comping chair plays, on paper and in sound: the best path through each chorus by itself,
 * so that choruses with the same changes have the same shapes. Sounding pitch.
 */
export function voicedLine(
  realisation: Realisation,
  chair: Chair,
  band: Pick<Band, 'chairs'>,
): VoicedLine {
  const options = pathOptionsFor(chair, band);
  const paths = new Map<string, readonly (Voicing | null)[]>();
  const voiced = new Map<Ticks, Voicing>();
  for (const events of eventsByChorus(realisation)) {
    const chords = events.map(({ harmony }) => chordOf(harmony));
    const key = chords.map(changeName).join();
    const path = paths.get(key) ?? voicePath(chords, options);
    paths.set(key, path);
    path.forEach((voicing, index) => {
      const event = events[index];
      if (voicing && event) voiced.set(event.start, voicing);
    });
  }
  return voiced;
}

/** How a chair voices: by its instrument, and by whether the band has somebody for the roots. */
export function pathOptionsFor(chair: Chair, { chairs }: Pick<Band, 'chairs'>): PathOptions {
  const plucked = instrumentById(chair.instrument).family === 'plucked';
  const withBass = chairs.some(({ role }) => role === 'bass');
  return { instrument: plucked ? 'guitar' : 'piano', withBass };
}

/** What the band plays, by the chorus it begins in. */
function eventsByChorus({ band, choruses, chorusLength }: Realisation): TimedHarmony[][] {
  const found = choruses.map((): TimedHarmony[] => []);
  for (const event of band) found[Math.floor(event.start / chorusLength)]?.push(event);
  return found;
}

function chordOf(harmony: Harmony): Chord | null {
  return harmony.kind === 'chord' ? harmony : null;
}

/** Tells changes apart that are voiced differently. */
function changeName(chord: Chord | null): string {
  return chord ? `${chord.root}.${chord.quality.mask}.${chord.bass}` : '-';
}
