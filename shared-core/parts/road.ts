import type { ChorusPlan } from '../arrangement/model.ts';
import type { Chorus } from '../tune/model.ts';
import { dynamicsOf } from './dynamics.ts';
import type { PartJump } from './model.ts';

/** Words for one chorus: its label, or its number. */
export function chorusLabel(plan: ChorusPlan): string {
  return plan.label?.trim() || `Chorus ${plan.order + 1}`;
}

/** `AABA, 32 bars`; `Intro A A B A, 36 bars`; `12 bars` where nothing is lettered. A pickup is not counted. */
export function formWords(chorus: Chorus): string {
  const labels = chorus.bars.filter((bar) => bar.startsSection).map((bar) => bar.label);
  const count = chorus.bars.filter((bar) => bar.number > 0).length;
  const bars = `${count} ${count === 1 ? 'bar' : 'bars'}`;
  const named = labels.filter((label) => label !== '');
  if (named.length === 0) return bars;
  const letters = named.every((label) => label.length === 1);
  return `${named.join(letters ? '' : ' ')}, ${bars}`;
}

/**
 * The plan of the choruses in one line, numbered as cues and headings name them, with their dynamics; like
 * ones that follow each other said once: `1 Head (p) · 2–3 Tenor solo (mf) · 4 Head out (p)`.
 */
export function roadWords(choruses: readonly ChorusPlan[]): string {
  const dynamics = dynamicsOf(choruses);
  const runs: { label: string; loud: string; from: number; to: number }[] = [];
  choruses.forEach((plan, at) => {
    const number = at + 1;
    const label = plan.label?.trim() ?? '';
    const loud = dynamics[at] ? ` (${dynamics[at]})` : '';
    const last = runs.at(-1);
    if (last?.label === label && last.loud === loud) last.to = number;
    else runs.push({ label, loud, from: number, to: number });
  });
  return runs
    .map(({ label, loud, from, to }) => {
      const numbers = from === to ? `${from}` : `${from}–${to}`;
      if (label !== '') return `${numbers} ${label}${loud}`;
      return `${from === to ? 'Chorus' : 'Choruses'} ${numbers}${loud}`;
    })
    .join(' · ');
}

/** `Chorus 2`, `Choruses 2–4`, `Choruses 1, 3 and 4`. */
export function chorusNumbers(numbers: readonly number[]): string {
  if (numbers.length === 1) return `Chorus ${numbers[0]}`;
  const inRow = numbers.every(
    (value, index) => index === 0 || value === (numbers[index - 1] ?? 0) + 1,
  );
  const [first, last] = [numbers[0], numbers.at(-1)];
  if (inRow && numbers.length > 2) return `Choruses ${first}–${last}`;
  return `Choruses ${numbers.slice(0, -1).join(', ')} and ${last}`;
}

/**
 * Words over a block: which choruses, what they are, how often and how loud:
 * `Choruses 2–4 · Tenor solo, Trumpet solo · 3x · mp – mf – f`. Where it is all of them, the road map in
 * the head says what they are.
 *
 * @param total choruses of the arrangement
 * @param dynamics of these choruses; none for ones that are only counted through
 */
export function blockHeading(
  plans: readonly ChorusPlan[],
  total: number,
  dynamics: readonly (string | null)[],
): string {
  const said = plans.length > 1 && plans.length === total;
  const labels = [...new Set(plans.map((plan) => plan.label?.trim() ?? '').filter(Boolean))];
  const numbers = chorusNumbers(plans.map((plan) => plan.order + 1));
  const times = plans.length > 1 ? `${plans.length}x` : '';
  const loud = said ? '' : dynamicWords(dynamics);
  return [numbers, said ? '' : labels.join(', '), times, loud].filter(Boolean).join(' · ');
}

/** `mp`; `mp – mf – f` where they change from chorus to chorus. */
function dynamicWords(dynamics: readonly (string | null)[]): string {
  const marks = dynamics.map((mark) => mark ?? '');
  return (new Set(marks).size === 1 ? marks.slice(0, 1) : marks).join(' – ');
}

/** The words of a jump: `D.S. al Coda`, `D.C. al Fine (with repeats)`. */
export function jumpWords({ kind, al, repeats }: PartJump): string {
  return `${kind} al ${al === 'coda' ? 'Coda' : 'Fine'}${repeats ? ' (with repeats)' : ''}`;
}
