import { type Interval, interval } from '../../../shared-core/pitch/interval.ts';
import { modulo } from '../../../shared-core/pitch/spelled.ts';
import { numberOf, type Xml } from './tree.ts';

/** No transposition. */
export const AT_PITCH: Interval = { fifths: 0, semitones: 0 };

/**
 * The interval from written to sounding pitch of a `<transpose>` element: steps of the staff, semitones
 * and octaves. Where the steps are missing or contradict the semitones, the plainest spelling is taken.
 *
 * @example a B flat trumpet, diatonic -1 and chromatic -2, sounds a major second lower: 2 fifths down
 */
export function transpositionOf(transpose: Xml): Interval {
  const chromatic = Math.round(numberOf(transpose, 'chromatic', 0));
  const diatonic = numberOf(transpose, 'diatonic', Number.NaN);
  const octaves = Math.round(numberOf(transpose, 'octave-change', 0));
  const plain = modulo(chromatic * 7 + 5, 12) - 5;
  // A fifth up is four steps of the staff, so that twice the steps give the fifths but for sevens.
  const spelled = [plain, plain - 12, plain + 12].find(
    (fifths) => Number.isInteger(diatonic) && modulo(fifths * 4 - diatonic, 7) === 0,
  );
  return interval(spelled ?? plain, chromatic + 12 * octaves);
}
