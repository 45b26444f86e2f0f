import { chromaOf, type Spelled } from '../pitch/spelled.ts';
import type { Chord, ChordQuality } from './model.ts';
import { NO_CHORD, parseChord } from './parse.ts';

export { NO_CHORD };

/**
 * The quality a suffix names, in any spelling the reader takes. For suffixes written in code and data:
 * throws when it is none.
 *
 * @example qualityOf('m7b5').family // 'half-diminished'
 */
export function qualityOf(suffix: string): ChordQuality {
  const read = parseChord(`C${suffix}`);
  const plain = read.ok && read.value.kind === 'chord' && read.value.bass === null;
  if (!plain || read.value.kind !== 'chord' || read.value.root !== 0) {
    throw new Error(`No chord quality is written '${suffix}'`);
  }
  return read.value.quality;
}

/**
 * Builds a chord. For chords made by rules: throws on an unknown suffix.
 *
 * @param root place on the line of fifths
 * @param suffix any spelling the reader takes: `m7`, `7b9`, `maj7`, `7alt`
 * @param bass bass after a slash; left out or null for none
 * @example chord(-2, 'maj7') // Bbmaj7
 */
export function chord(root: Spelled, suffix: string, bass: Spelled | null = null): Chord {
  return chordOf(root, qualityOf(suffix), bass);
}

/** Builds a chord from a quality that is already known. A bass that sounds like the root is no bass. */
export function chordOf(root: Spelled, quality: ChordQuality, bass: Spelled | null = null): Chord {
  if (!Number.isInteger(root))
    throw new Error(`A root is a whole place on the line of fifths: ${root}`);
  return {
    kind: 'chord',
    root,
    quality,
    bass: bass === null || chromaOf(bass) === chromaOf(root) ? null : bass,
    optional: false,
  };
}
