import { symbolOf } from '../chord/format.ts';
import { scaleFunctionOf } from '../chord/scale-function.ts';
import { scalesFor } from '../chord/scales.ts';
import type { Key } from '../pitch/key.ts';
import type { BarPlace } from './content.ts';
import type { PartMeasure } from './model.ts';
import { soundingIn } from './timeline.ts';

/** Scales every player hears from the symbol alone: naming them would only be in the way. */
const PLAIN = new Set(['ionian', 'dorian', 'mixolydian', 'aeolian', 'locrian']);

/**
 * Names of the first-choice scales over the chords a soloist plays against the band, where the name
 * says more than the symbol does.
 *
 * @param key written key
 */
export function scaleNames(place: BarPlace, key: Key): PartMeasure['scales'] {
  if (!place.differs) return [];
  const band = soundingIn(place.band);
  return soundingIn(place.solo).flatMap(({ at, harmony }, index, sounding) => {
    const under = band.findLast((held) => held.at <= at);
    if (harmony.kind === 'none' || (under && symbolOf(under.harmony) === symbolOf(harmony)))
      return [];
    const after = sounding[index + 1]?.harmony;
    const goal = after?.kind === 'chord' ? after : null;
    const name = scalesFor(harmony, key, scaleFunctionOf(harmony, key, goal))[0]?.scale.name;
    return name && !PLAIN.has(name) ? [{ at, words: withSigns(name) }] : [];
  });
}

/** `lydian b7` with a real flat sign. */
function withSigns(name: string): string {
  return name.replace(/b(?=\d)/gu, '♭').replace(/#(?=\d)/gu, '♯');
}
