import { beatTicks, isCompound, type Meter, type Ticks } from '../time/meter.ts';

/** A printable note value. */
export interface NoteValue {
  readonly ticks: Ticks;
  /** MusicXML `type`. */
  readonly type: 'whole' | 'half' | 'quarter' | 'eighth' | '16th' | '32nd' | '64th';
  readonly dots: 0 | 1;
  /** One of three in the time of two. */
  readonly triplet: boolean;
}

const PLAIN: readonly (readonly [Ticks, NoteValue['type']])[] = [
  [3840, 'whole'],
  [1920, 'half'],
  [960, 'quarter'],
  [480, 'eighth'],
  [240, '16th'],
  [120, '32nd'],
  [60, '64th'],
];

/** Every single value, longest first: dotted, plain and triplet. */
const VALUES: readonly NoteValue[] = PLAIN.flatMap(([ticks, type]): NoteValue[] => [
  { ticks: ticks * 1.5, type, dots: 1, triplet: false },
  { ticks, type, dots: 0, triplet: false },
  { ticks: (ticks * 2) / 3, type, dots: 0, triplet: true },
])
  .filter((value) => Number.isInteger(value.ticks))
  .sort((a, b) => b.ticks - a.ticks);

/** The value that lasts exactly so long; null when no single one does. */
export function singleValue(length: Ticks): NoteValue | null {
  return VALUES.find((value) => value.ticks === length) ?? null;
}

/**
 * A length as printable values to be tied, in playing order: 2400 is a half and an eighth. Splits at
 * the bar's beats where the note starts off the beat and runs over the next one. Throws for a length
 * that no values make up.
 */
export function noteValues(at: Ticks, length: Ticks, meter: Meter): readonly NoteValue[] {
  const single = singleValue(length);
  // A quarter of a triplet over two beats is one note, off the beat or not.
  if (single?.triplet) return [single];
  const beat = beatTicks(meter);
  const toBeat = (beat - (at % beat)) % beat;
  const syncopation = !isCompound(meter) && toBeat === beat / 2 && length === beat;
  if (toBeat > 0 && length > toBeat && !syncopation) {
    return [...spell(toBeat), ...noteValues(at + toBeat, length - toBeat, meter)];
  }
  return spell(length);
}

function spell(length: Ticks): NoteValue[] {
  const single = singleValue(length);
  if (single) return [single];
  const largest = VALUES.find((value) => value.ticks < length && !value.triplet);
  if (!largest) throw new Error(`No note values last ${length} ticks`);
  return [largest, ...spell(length - largest.ticks)];
}
