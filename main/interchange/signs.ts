import type { FormJump, FormMark } from '../../shared-core/tune/model.ts';
import { tokensOf } from '../../shared-core/tune/tokens.ts';
import type { DraftBar } from './draft.ts';

/** A sign of the form found in words on the page. */
export type Sign = FormMark | FormJump;

/**
 * The sign that a text on the page names (`D.S. al Coda`, `To Coda`, `Fine`), read by the rules of tune
 * text; null where the text is something else.
 */
export function signOf(text: string): Sign | null {
  const trimmed = text.trim();
  if (trimmed === '' || trimmed.length > 60) return null;
  const tokens = tokensOf(trimmed, 1);
  const token = tokens[0];
  if (tokens.length !== 1 || !token) return null;
  if (token.kind === 'mark') return token.mark;
  return token.kind === 'jump' ? token.jump : null;
}

/** Puts a sign on a bar. A jump that says where it ends replaces one that does not. */
export function putSign(bar: DraftBar, sign: Sign): void {
  if (typeof sign === 'string') {
    bar.marks.add(sign);
  } else if (!bar.jump || bar.jump.al === 'end') {
    bar.jump = sign;
  }
}

/** Numbers of an ending as scores write them: `1`, `1, 3`, `1-3`. */
export function endingNumbers(text: string): number[] {
  const numbers = new Set<number>();
  for (const part of text.split(/[\s,.]+/u).filter(Boolean)) {
    const match = /^(\d{1,2})(?:-(\d{1,2}))?$/u.exec(part);
    if (!match) continue;
    const from = Number(match[1]);
    const to = Math.min(Number(match[2] ?? from), from + 32);
    for (let n = from; n <= to; n++) numbers.add(n);
  }
  return [...numbers].filter((n) => n > 0);
}

/**
 * Some programs print the coda sign both where one leaves and where one arrives. Where nothing else says
 * `To Coda`, the first of two codas is the place to leave.
 */
export function settleCodas(bars: readonly DraftBar[]): void {
  const codas = bars.filter((bar) => bar.marks.has('coda'));
  const first = codas[0];
  if (!first || codas.length < 2 || bars.some((bar) => bar.marks.has('to-coda'))) return;
  first.marks.delete('coda');
  first.marks.add('to-coda');
}
