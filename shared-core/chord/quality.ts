import { BIT, GROUP, rowsOf } from './degrees.ts';
import type { ChordFamily, ChordQuality } from './model.ts';
import { wordSuffix } from './suffix.ts';

/**
 * What an altered dominant sounds with when nobody chooses: raised fifth and raised ninth, no natural
 * fifth, ninth or thirteenth. Sources disagree about the notes of `7alt` (one library gives
 * 1 3 #5 b7 #9, another all altered tensions together); the symbol itself is kept and printed as alt.
 */
const ALT_SOUND = BIT.s5 | BIT.s9;

/** Mask of `7alt`. */
export const ALT_MASK = BIT.root | BIT.three | BIT.b7 | BIT.alt;

const interned = new Map<number, ChordQuality>();

/**
 * The one quality object of a mask. Two chords have the same quality exactly when they hold the same
 * object. There are a few thousand masks a symbol can make, so the table stays small.
 *
 * @param mask sum of {@link BIT} values as the reader makes them (normalised; see `meaning.ts`)
 * @example qualityOfMask(BIT.root | BIT.b3 | BIT.five | BIT.b7).suffix // 'm7'
 */
export function qualityOfMask(mask: number): ChordQuality {
  const known = interned.get(mask);
  if (known !== undefined) return known;
  const made = makeQuality(mask);
  interned.set(mask, made);
  return made;
}

function makeQuality(mask: number): ChordQuality {
  const alt = (mask & BIT.alt) !== 0;
  const rows = rowsOf(alt ? mask | ALT_SOUND : mask);
  let chromaMask = 0;
  for (const row of rows) chromaMask |= 1 << (row.semitones % 12);
  return Object.freeze({
    mask,
    suffix: wordSuffix(mask),
    family: familyOf(mask),
    degrees: Object.freeze(rows.map((row) => Object.freeze(row.degree))),
    fifths: Object.freeze(rows.map((row) => row.fifths)),
    semitones: Object.freeze(rows.map((row) => row.semitones)),
    chromaMask,
    alt,
  });
}

/** What a chord does by its sound alone. Rows of the reference table of qualities; common practice. */
function familyOf(mask: number): ChordFamily {
  const fifths = mask & GROUP.fifths;
  const minorSeventh = (mask & BIT.b7) !== 0;
  if ((mask & BIT.bb7) !== 0) return 'diminished';
  if ((mask & GROUP.suspensions) !== 0) return 'suspended';
  if ((mask & BIT.b3) !== 0) {
    if (fifths !== BIT.b5) return 'minor';
    return minorSeventh ? 'half-diminished' : 'diminished';
  }
  if ((mask & BIT.three) === 0) return familyWithoutThird(mask);
  if (minorSeventh) return 'dominant';
  const plainTriad = (mask & (BIT.six | BIT.seven)) === 0;
  return plainTriad && fifths === BIT.s5 ? 'augmented' : 'major';
}

/** `11` sounds as a suspension; `7no3` still leans like a dominant; a bare fifth is a power chord. */
function familyWithoutThird(mask: number): ChordFamily {
  if ((mask & BIT.b7) !== 0) return (mask & BIT.eleven) !== 0 ? 'suspended' : 'dominant';
  return (mask & (BIT.six | BIT.seven)) !== 0 ? 'major' : 'power';
}
