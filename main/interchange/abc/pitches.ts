import { type Letter, type Pitch, spelled } from '../../../shared-core/pitch/spelled.ts';

/** Pitches as they are written in ABC: an accidental holds for its line to the end of the bar. */
export class AbcPitches {
  /** Accidentals in force in this bar, by letter and octave. */
  private readonly accidentals = new Map<string, number>();

  /** A bar line: the signature alone is in force again. */
  newBar(): void {
    this.accidentals.clear();
  }

  /**
   * The pitch of a note.
   *
   * @param marks its accidentals, `^`, `_`, `=` or none
   * @param letter `C` to `B` from middle C, `c` to `b` an octave higher
   * @param octaves `'` an octave up, `,` an octave down, each
   * @param signature sharps, or flats below 0
   */
  pitchOf(marks: string, letter: string, octaves: string, signature: number): Pitch {
    const upper = letter.toUpperCase() as Letter;
    const up = [...octaves].reduce((sum, mark) => sum + (mark === "'" ? 1 : -1), 0);
    const octave = (letter === upper ? 4 : 5) + up;
    const place = `${upper}${octave}`;
    if (marks !== '') this.accidentals.set(place, accidentalOf(marks));
    const alter = this.accidentals.get(place) ?? signatureAlter(upper, signature);
    return { pc: spelled(upper, alter), octave };
  }
}

function accidentalOf(marks: string): number {
  return [...marks].reduce((sum, mark) => sum + (mark === '^' ? 1 : mark === '_' ? -1 : 0), 0);
}

/** Alteration of a letter by the key signature. Sharps come in the order F C G D A E B, flats the other way round. */
function signatureAlter(letter: Letter, signature: number): number {
  const order = 'FCGDAEB';
  const place = order.indexOf(letter);
  if (signature >= 0) return Math.floor((signature - place + 6) / 7);
  return -Math.floor((-signature - (6 - place) + 6) / 7);
}
