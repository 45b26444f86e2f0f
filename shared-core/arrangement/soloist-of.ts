import type { Band, Chair } from './band.ts';
import type { ChorusPlan } from './model.ts';

/** A label that says the melody is played: head, theme, melody. */
const HEAD = /\b(head|theme|melody)\b/iu;

/**
 * Whether a chorus plays the melody: one labelled so, or the first or last one without a label.
 *
 * @param choruses all of them, in playing order
 * @param hasMelody whether the tune has a melody; without one no chorus plays it
 */
export function isHead(
  plan: ChorusPlan,
  choruses: readonly ChorusPlan[],
  hasMelody: boolean,
): boolean {
  if (!hasMelody) return false;
  const label = labelOf(plan);
  if (label !== '') return HEAD.test(label);
  return plan.order === 0 || plan.order === choruses.length - 1;
}

/**
 * The chair a chorus belongs to. A label that names a chair of the band gives the chorus to it
 * (`Tenor saxophone solo`, or `Tenor solo` where one chair only is called so); a head belongs to the
 * first soloist; solo choruses without a label go round the soloists in turn. Null where a label names
 * nobody (`Solo`, `Open`) or there is no soloist: the chorus is for all.
 *
 * @param choruses all of them, in playing order
 * @example soloistOf({ ...plan, label: 'Trumpet solo' }, choruses, band, true) // 'trumpet'
 */
export function soloistOf(
  plan: ChorusPlan,
  choruses: readonly ChorusPlan[],
  band: Pick<Band, 'chairs'>,
  hasMelody: boolean,
): string | null {
  const soloists = soloistsOf(band);
  const label = labelOf(plan);
  const named = chairNamed(label, band.chairs);
  if (named) return named.id;
  if (isHead(plan, choruses, hasMelody)) return soloists[0]?.id ?? null;
  return label === '' ? inTurn(plan, soloists, hasMelody) : null;
}

/** The soloist whose turn it is in a chorus that belongs to nobody by name; null without soloists. */
export function soloistInTurn(
  plan: ChorusPlan,
  band: Pick<Band, 'chairs'>,
  hasMelody: boolean,
): string | null {
  return inTurn(plan, soloistsOf(band), hasMelody);
}

/** With a melody the first chorus is the head, and the turns begin after it. */
function inTurn(plan: ChorusPlan, soloists: readonly Chair[], hasMelody: boolean): string | null {
  const turn = Math.max(0, hasMelody ? plan.order - 1 : plan.order);
  return soloists[turn % soloists.length]?.id ?? null;
}

function soloistsOf({ chairs }: Pick<Band, 'chairs'>): readonly Chair[] {
  return chairs.filter(({ role }) => role === 'soloist').sort((a, b) => a.order - b.order);
}

function labelOf({ label }: ChorusPlan): string {
  return label?.trim() ?? '';
}

/** The chair whose whole name stands in a label, the longest first; else the only one with that first word. */
function chairNamed(label: string, chairs: readonly Chair[]): Chair | null {
  const words = wordsOf(label);
  if (words.trim() === '') return null;
  const whole = chairs
    .filter(({ name }) => words.includes(wordsOf(name)))
    .sort((a, b) => b.name.length - a.name.length);
  if (whole[0]) return whole[0];
  const short = chairs.filter(({ name }) => words.includes(firstWord(name)));
  return short.length === 1 ? (short[0] ?? null) : null;
}

/** Words in lower case with a space on either side, so that `Bass` is not found in `Bassoon`. */
function wordsOf(text: string): string {
  return ` ${(text.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? []).join(' ')} `;
}

function firstWord(name: string): string {
  return ` ${wordsOf(name).trim().split(' ')[0] ?? ''} `;
}
