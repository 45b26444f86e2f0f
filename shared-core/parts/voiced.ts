import type { Band, Chair } from '../arrangement/band.ts';
import type { Realisation } from '../arrangement/model.ts';
import type { Chord } from '../chord/model.ts';
import { instrumentById } from '../pitch/instruments.ts';
import type { Ticks } from '../time/meter.ts';
import type { Voicing } from '../voicing/model.ts';
import { voicePath } from '../voicing/path.ts';

/** Voicings by the tick their chord begins at, from the first chorus' start. */
export type VoicedLine = ReadonlyMap<Ticks, Voicing>;

/**
 * The voicings a comping chair may play: the best path through each chorus by itself, so that choruses
 * with the same changes show the same shapes. Sounding pitch.
 */
export function voicedLine(realisation: Realisation, chair: Chair, band: Band): VoicedLine {
  const guitar = instrumentById(chair.instrument).family === 'plucked';
  const withBass = band.chairs.some(({ role }) => role === 'bass');
  const voiced = new Map<Ticks, Voicing>();
  realisation.choruses.forEach((_, chorus) => {
    const from = chorus * realisation.chorusLength;
    const events = realisation.band.filter(
      ({ start }) => start >= from && start < from + realisation.chorusLength,
    );
    const chords = events.map(({ harmony }): Chord | null =>
      harmony.kind === 'chord' ? harmony : null,
    );
    const path = voicePath(chords, { instrument: guitar ? 'guitar' : 'piano', withBass });
    path.forEach((voicing, index) => {
      const event = events[index];
      if (voicing && event) voiced.set(event.start, voicing);
    });
  });
  return voiced;
}
