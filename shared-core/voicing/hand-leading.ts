import type { Chord } from '../chord/model.ts';
import { midiOf, type Pitch } from '../pitch/spelled.ts';
import type { Voicing } from './model.ts';
import { type PathOptions, voicePath } from './path.ts';

/** How chords lie under one player's hand: the shapes of the best path through them, and how they move. */
export interface HandLeading {
  /** One voicing a chord; null where none can be played. */
  readonly voicings: readonly (Voicing | null)[];
  /** Semitones over all voices from voicing to voicing, every voice going to the nearest that is free. */
  readonly semitones: number;
  /** Top notes in order, sounding pitch. */
  readonly top: readonly Pitch[];
}

/**
 * The path that is printed and that sounds for these chords, measured. What the judge compares proposals by
 * (`leading.ts`) is the least any four voices could move; a real hand moves at least a little more.
 *
 * @example handLeading([Cmaj7, Fm6, Cmaj7], { instrument: 'guitar', withBass: true }).top
 */
export function handLeading(chords: readonly Chord[], options: PathOptions): HandLeading {
  const voicings = voicePath(chords, options);
  const played = voicings.filter((voicing) => voicing !== null);
  const semitones = played.reduce((sum, voicing, index) => {
    const before = played[index - 1];
    return before ? sum + moved(notesOf(before), notesOf(voicing)) : sum;
  }, 0);
  return { voicings, semitones, top: played.flatMap(({ pitches }) => pitches.slice(-1)) };
}

function notesOf({ pitches }: Voicing): number[] {
  return pitches.map(midiOf).sort((a, b) => a - b);
}

/** Least semitones from one sorted set of notes to another; voices one hand has too many fall silent. */
function moved(from: readonly number[], to: readonly number[]): number {
  const [few, many] = from.length <= to.length ? [from, to] : [to, from];
  // least[j]: the notes of `few` so far matched with the first j of `many`, in order, so that no voices cross.
  let least = new Array<number>(many.length + 1).fill(0);
  for (const note of few) {
    const next = new Array<number>(many.length + 1).fill(Number.POSITIVE_INFINITY);
    many.forEach((other, index) => {
      const here = (least[index] ?? 0) + Math.abs(note - other);
      next[index + 1] = Math.min(next[index] ?? Number.POSITIVE_INFINITY, here);
    });
    least = next;
  }
  return least[many.length] ?? 0;
}
