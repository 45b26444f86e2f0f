import type { Band, Chair } from '../arrangement/band.ts';
import type { Realisation } from '../arrangement/model.ts';
import { isHead } from '../arrangement/soloist-of.ts';
import type { Chord, Harmony } from '../chord/model.ts';
import { instrumentById } from '../pitch/instruments.ts';
import { midiOf } from '../pitch/spelled.ts';
import type { Ticks } from '../time/meter.ts';
import type { TimedHarmony, TimedNote } from '../tune/model.ts';
import { kindsOf } from '../voicing/families.ts';
import { STANDARD_GUITAR } from '../voicing/guitar.ts';
import type { Voicing } from '../voicing/model.ts';
import { type PathOptions, voicePath } from '../voicing/path.ts';

/** Voicings by the tick their chord begins at, from the first chorus' start. */
export type VoicedLine = ReadonlyMap<Ticks, Voicing>;

/**
 * The voicings a comping chair plays, on paper and in sound: the best path through each chorus by itself,
 * so that choruses with the same changes have the same shapes. A chair that wishes for the melody on top, or
 * to stay under it, does so in the choruses that play the melody. Sounding pitch.
 *
 * @param melody of one chorus, at concert pitch; empty for none
 */
export function voicedLine(
  realisation: Realisation,
  chair: Chair,
  band: Pick<Band, 'chairs'>,
  melody: readonly TimedNote[],
): VoicedLine {
  const options = pathOptionsFor(chair, band);
  const { choruses, chorusLength } = realisation;
  const paths = new Map<string, readonly (Voicing | null)[]>();
  const voiced = new Map<Ticks, Voicing>();
  for (const [order, events] of eventsByChorus(realisation).entries()) {
    const chords = events.map(({ harmony }) => chordOf(harmony));
    const plan = choruses[order];
    const sung = plan && isHead(plan, choruses, melody.length > 0) ? melody : [];
    const top = topOf(chair, events, sung, order * chorusLength);
    const key = JSON.stringify([chords.map(changeName), top]);
    const path = paths.get(key) ?? voicePath(chords, { ...options, ...top });
    paths.set(key, path);
    path.forEach((voicing, index) => {
      const event = events[index];
      if (voicing && event) voiced.set(event.start, voicing);
    });
  }
  return voiced;
}

/** How a chair voices: by its instrument and strings, and by whether the band has somebody for the roots. */
export function pathOptionsFor(chair: Chair, { chairs }: Pick<Band, 'chairs'>): PathOptions {
  const plucked = instrumentById(chair.instrument).family === 'plucked';
  const instrument = plucked ? 'guitar' : 'piano';
  const withBass = chairs.some(({ role }) => role === 'bass');
  const kinds = kindsOf(chair.voicing?.family ?? 'any', instrument);
  const { strings } = chair;
  return {
    instrument,
    withBass,
    ...(kinds === undefined ? {} : { kinds }),
    ...(plucked && strings
      ? {
          guitar: {
            ...STANDARD_GUITAR,
            tuning: strings.tuning.map(midiOf),
            capo: strings.capo,
          },
        }
      : {}),
  };
}

/**
 * Voicings with their frets counted from a capo, as shapes are read when there is one (common practice, no
 * source): what lies on the capo is open.
 */
export function shapesFromCapo(voiced: VoicedLine, capo: number): VoicedLine {
  if (capo === 0) return voiced;
  return new Map(
    [...voiced].map(([at, voicing]) => {
      if (!voicing.frets) return [at, voicing];
      return [at, { ...voicing, frets: fretsFromCapo(voicing.frets, capo) }];
    }),
  );
}

/** Frets counted from a capo: what lies on it is open. */
export function fretsFromCapo(
  frets: readonly (number | null)[],
  capo: number,
): readonly (number | null)[] {
  return frets.map((fret) => (fret === null ? null : fret - capo));
}

/** What a chair's wish asks of the top notes over a melody. */
function topOf(
  { voicing }: Chair,
  events: readonly TimedHarmony[],
  melody: readonly TimedNote[],
  from: Ticks,
): Pick<PathOptions, 'topLine' | 'below'> {
  if (melody.length === 0 || !voicing || voicing.top === 'free') return {};
  const over = events.map(({ start, length }) =>
    melody.filter(
      (note) => note.start < start - from + length && note.start + note.length > start - from,
    ),
  );
  if (voicing.top === 'melody')
    return { topLine: over.map(([first]) => (first ? midiOf(first.pitch) : null)) };
  return {
    below: over.map((notes) =>
      notes.length > 0 ? Math.min(...notes.map(({ pitch }) => midiOf(pitch))) : null,
    ),
  };
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
