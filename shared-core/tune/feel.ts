import { isCompound, type Meter } from '../time/meter.ts';

/** How beats are divided. */
export type Division = 'straight' | 'swing' | 'shuffle';

/** Names of the feels the rhythm section knows. */
export type FeelName =
  | 'swing'
  | 'shuffle'
  | 'ballad'
  | 'bossa'
  | 'straight'
  | 'waltz'
  | 'five'
  | 'compound';

/** A feel: how beats divide, and how the bass marks them when nobody directs it otherwise. */
export interface Feel {
  readonly name: FeelName;
  readonly division: Division;
  readonly bass: 'walk' | 'two-feel' | 'roots';
}

/** Words of the trade that name a feel, tried in order. */
const WORDS: readonly (readonly [RegExp, FeelName])[] = [
  [/shuffle/i, 'shuffle'],
  [/ballad/i, 'ballad'],
  [/bossa|samba|latin|baiao|bolero|choro/i, 'bossa'],
  [/straight|even|rock|funk|pop|ecm/i, 'straight'],
  [/waltz/i, 'waltz'],
  [/swing|bounce|bop|blues|up|medium|walk/i, 'swing'],
];

const FEELS: Readonly<Record<FeelName, Feel>> = {
  swing: { name: 'swing', division: 'swing', bass: 'walk' },
  shuffle: { name: 'shuffle', division: 'shuffle', bass: 'walk' },
  ballad: { name: 'ballad', division: 'swing', bass: 'two-feel' },
  bossa: { name: 'bossa', division: 'straight', bass: 'two-feel' },
  straight: { name: 'straight', division: 'straight', bass: 'two-feel' },
  waltz: { name: 'waltz', division: 'swing', bass: 'walk' },
  five: { name: 'five', division: 'swing', bass: 'walk' },
  compound: { name: 'compound', division: 'straight', bass: 'walk' },
};

/**
 * The feel that words and a meter name: words first, then the meter (three is a waltz, five has its own
 * pattern, compound meters are played straight in three). With nothing said, four beats swing.
 *
 * @example feelOf('medium swing', { count: 3, unit: 4 }).name // 'waltz'
 */
export function feelOf(words: string | null, meter: Meter): Feel {
  if (isCompound(meter)) return FEELS.compound;
  const named = WORDS.find(([pattern]) => words !== null && pattern.test(words))?.[1] ?? 'swing';
  if (meter.count === 3 && (named === 'swing' || named === 'waltz')) return FEELS.waltz;
  if (meter.count === 5 && named === 'swing') return FEELS.five;
  if (named === 'waltz') return FEELS.swing;
  return FEELS[named];
}
