import type { Clef, Instrument } from '../../shared-core/pitch/instruments.ts';
import { nameOf } from '../../shared-core/pitch/spelled.ts';
import { withSigns } from '../common/words.ts';

const CLEFS: Readonly<Record<Clef, string>> = {
  treble: 'treble clef',
  bass: 'bass clef',
  grand: 'two staves',
  'treble-octave-down': 'treble clef an octave down',
  percussion: 'no clef',
};

/** How a chair reads: `in B♭, treble clef`, `sounds an octave lower, bass clef`, `at concert pitch, two staves`. */
export function transpositionWords(instrument: Instrument): string {
  const { toWritten, clef } = instrument;
  if (clef === 'percussion') return 'reads time and hits';
  return `${pitchWords(toWritten.fifths, toWritten.semitones)}, ${CLEFS[clef]}`;
}

function pitchWords(fifths: number, semitones: number): string {
  // An instrument in Bb sounds Bb when it reads C: the way back from written to concert.
  if (fifths !== 0) return `in ${withSigns(nameOf(-fifths))}`;
  if (semitones === 12) return 'sounds an octave lower';
  if (semitones === 24) return 'sounds two octaves lower';
  if (semitones === -12) return 'sounds an octave higher';
  return 'at concert pitch';
}
