import { type RootBounds, respellRoot, undouble } from '../pitch/copyist.ts';
import { type Instrument, writtenInterval, writtenKey } from '../pitch/instruments.ts';
import type { Interval } from '../pitch/interval.ts';
import type { Key } from '../pitch/key.ts';
import { alterOf, chromaOf, type Spelled } from '../pitch/spelled.ts';
import type { Chord, ChordFamily, Harmony } from './model.ts';
import { notesOf } from './tones.ts';

/**
 * Moves a harmony by a spelled interval: root and bass move together, the quality stays. Moving back
 * gives the same spelling. The result may carry spellings no copyist would print; see
 * {@link respellHarmony}.
 *
 * @example transposeHarmony(parse('Bb7'), {fifths: 2, semitones: 2}) // C7
 */
export function transposeHarmony(harmony: Harmony, by: Interval): Harmony {
  return shiftHarmony(harmony, by.fifths);
}

/** Moves a harmony along the line of fifths, octaves aside. */
export function shiftHarmony(harmony: Harmony, fifths: number): Harmony {
  if (harmony.kind === 'none' || fifths === 0) return harmony;
  return {
    ...harmony,
    root: harmony.root + fifths,
    bass: harmony.bass === null ? null : harmony.bass + fifths,
  };
}

/**
 * How far from the signature's tonic, in fifths, a chord of each family keeps the spelling of its root.
 * In C: F#7 and Gb7 both stay, C#7 and D#7 become Db7 and Eb7; C#m7, G#m7, D#m7 stay (they open a
 * two-five on the sharp side), Gbm7 becomes F#m7; C#m7b5 and F#m7b5 have sharps; C#dim7, D#dim7,
 * G#dim7, A#dim7 stay (they rise), and so do Ebdim7 and Dbdim7 (they fall). Common practice, no source.
 */
const ROOT_BOUNDS: Readonly<Record<ChordFamily, RootBounds>> = {
  major: { flattest: -6, sharpest: 6 },
  dominant: { flattest: -6, sharpest: 6 },
  suspended: { flattest: -6, sharpest: 6 },
  power: { flattest: -6, sharpest: 6 },
  augmented: { flattest: -6, sharpest: 6 },
  minor: { flattest: -5, sharpest: 9 },
  'half-diminished': { flattest: -4, sharpest: 10 },
  diminished: { flattest: -5, sharpest: 10 },
};

/**
 * A harmony as a copyist prints it in a key: a spelling that makes sense there is kept; roots with
 * double accidentals, and Cb, Fb, E#, B# that the signature does not have, get their plain names; flat-
 * two and borrowed chords stay flat. The bass follows its chord.
 *
 * @param key the key the music is written in at that place (a part's written key)
 * @example respellHarmony(parse('D#7'), C major) // Eb7
 * @example respellHarmony(parse('Cb7'), Bb major) // B7
 */
export function respellHarmony(harmony: Harmony, key: Key): Harmony {
  if (harmony.kind === 'none') return harmony;
  const root = respellRoot(harmony.root, key, ROOT_BOUNDS[harmony.quality.family]);
  const moved =
    root === harmony.root ? harmony : (shiftHarmony(harmony, root - harmony.root) as Chord);
  const bass = moved.bass === null ? null : respellBass(moved, moved.bass, key);
  return bass === moved.bass ? moved : { ...moved, bass };
}

/**
 * A bass that is a note of the chord is spelled as that note (the third of Abm is Cb), unless it has a
 * double accidental (Cdim7/A); any other bass as a note of the key.
 */
function respellBass(chord: Chord, bass: Spelled, key: Key): Spelled {
  const own = notesOf({ ...chord, bass: null }).find((pc) => chromaOf(pc) === chromaOf(bass));
  if (own === undefined) return respellRoot(bass, key, ROOT_BOUNDS.diminished);
  return Math.abs(alterOf(own)) > 1 ? undouble(own) : own;
}

/**
 * A concert harmony as it stands on an instrument's part: moved into the written key, then spelled for
 * it. One written key for a section means one spelling habit throughout, never a mixture.
 *
 * @param concertKey key of the music at that place, at concert pitch
 * @param written the part's key there; left out, the one with fewest accidentals
 * @example writtenHarmony(parse('E6'), alto, E major) // Db6
 */
export function writtenHarmony(
  harmony: Harmony,
  instrument: Instrument,
  concertKey: Key,
  written: Key = writtenKey(concertKey, instrument),
): Harmony {
  const by = writtenInterval(instrument, concertKey, written);
  return respellHarmony(transposeHarmony(harmony, by), written);
}
