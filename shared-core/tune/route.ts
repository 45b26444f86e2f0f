import type { Result } from '../result.ts';
import { err, ok } from '../result.ts';
import type { FormJump, WrittenBar } from './model.ts';
import { findRepeats, type Repeat } from './repeats.ts';

/** Most bars a chorus may have. Longer ones come from a slip in the signs, not from a tune. */
export const LARGEST_FORM = 4096;

/** A run of bars that cannot be played: at which bar of the run, and why. */
export interface RouteFault {
  readonly code: 'tune/repeat' | 'tune/ending' | 'tune/jump' | 'tune/form-endless';
  readonly index: number;
  readonly data: Readonly<Record<string, string | number>>;
}

/** Where the player stands in the run. */
interface Walk {
  readonly bars: readonly WrittenBar[];
  readonly topFrom: (index: number) => number;
  readonly repeats: readonly Repeat[];
  /** Pass under way, from 1, one for each repeat. */
  readonly passes: number[];
  readonly jumped: Set<number>;
  /** After a D.C. or D.S.: what is obeyed now; null before. */
  obeys: FormJump['al'] | null;
}

/**
 * The order in which a run of bars is played, as places in the run.
 *
 * Rules of the trade (common practice, no source): a repeat is played before a jump at its end. Each
 * D.C. or D.S. is taken once. After it repeats are not taken again and the last ending is played;
 * `Fine` and `To Coda` count only then. A bare D.C. or D.S. obeys whichever of the two it meets. D.C.
 * goes to the start; the pickup there is played again only where the bar of the D.C. is shortened for it.
 * Segno and Coda stand at the start of their bar, To Coda, Fine and the jumps act at its end.
 *
 * @param topFrom where a D.C. at the end of the given bar goes to: 0, or 1 to leave out the pickup
 * @param bounds places that a repeat cannot reach across
 */
export function routeOf(
  bars: readonly WrittenBar[],
  topFrom: (index: number) => number = () => 0,
  bounds: ReadonlySet<number> = new Set(),
): Result<readonly number[], RouteFault> {
  const repeats = findRepeats(bars, bounds);
  if (!repeats.ok) return repeats;
  const signs = signFault(bars);
  if (signs) return err(signs);
  const walk: Walk = {
    bars,
    topFrom,
    repeats: repeats.value,
    passes: repeats.value.map(() => 1),
    jumped: new Set(),
    obeys: null,
  };
  const order: number[] = [];
  let at: number | null = 0;
  while (at !== null && at < bars.length) {
    const here: number = enterEnding(walk, at);
    if (here >= bars.length) break;
    if (order.length >= LARGEST_FORM) return err(tooLong(here));
    order.push(here);
    at = leave(walk, here);
  }
  return ok(order);
}

/** At the start of an ending that is for another pass, the place where this pass goes on. */
function enterEnding(walk: Walk, at: number): number {
  for (let r = 0; r < walk.repeats.length; r++) {
    const repeat = walk.repeats[r] as Repeat;
    const first = repeat.endings[0];
    if (!first || first.start !== at) continue;
    const pass = walk.passes[r] ?? 1;
    const ending = repeat.endings.find(({ numbers }) => numbers.includes(pass));
    if (ending) return ending.start;
    walk.passes[r] = 1;
    return enterEnding(walk, repeat.end + 1);
  }
  return at;
}

/** After a bar has been played: the next one, or null at the end. */
function leave(walk: Walk, at: number): number | null {
  const bar = walk.bars[at] as WrittenBar;
  if (walk.obeys !== null) {
    if (bar.marks.includes('fine') && walk.obeys !== 'coda') return null;
    if (bar.marks.includes('to-coda') && walk.obeys !== 'fine') return goToCoda(walk, at);
  }
  const back = takeRepeat(walk, at);
  if (back !== null) return back;
  if (bar.jump && !walk.jumped.has(at) && lastPassOf(walk, at)) {
    walk.jumped.add(at);
    return takeJump(walk, at, bar.jump);
  }
  return afterEnding(walk, at) ?? at + 1;
}

/** Goes back to the start of a repeat that ends here and has passes left. */
function takeRepeat(walk: Walk, at: number): number | null {
  for (let r = walk.repeats.length - 1; r >= 0; r--) {
    const repeat = walk.repeats[r] as Repeat;
    const isEnd =
      repeat.endings.length === 0
        ? repeat.end === at
        : repeat.endings.some(({ end }) => end === at);
    if (!isEnd) continue;
    const pass = walk.passes[r] ?? 1;
    if (pass < repeat.times && (repeat.endings.length === 0 || isPlaying(repeat, at, pass))) {
      walk.passes[r] = pass + 1;
      startInnerAgain(walk, repeat);
      return repeat.start;
    }
  }
  return null;
}

function isPlaying(repeat: Repeat, at: number, pass: number): boolean {
  return repeat.endings.some(({ end, numbers }) => end === at && numbers.includes(pass));
}

/** Repeats inside one that starts again are played in full again. */
function startInnerAgain(walk: Walk, outer: Repeat): void {
  walk.repeats.forEach((repeat, r) => {
    if (repeat !== outer && repeat.start >= outer.start && repeat.end <= outer.end) {
      walk.passes[r] = 1;
    }
  });
}

/** Whether every repeat around a bar is on its last pass. */
function lastPassOf(walk: Walk, at: number): boolean {
  return walk.repeats.every(
    (repeat, r) => at < repeat.start || at > repeat.end || (walk.passes[r] ?? 1) >= repeat.times,
  );
}

/** After the last bar of an ending that is not the last on the page: the bar after all of them. */
function afterEnding(walk: Walk, at: number): number | null {
  const repeat = walk.repeats.find(({ endings }) => endings.some(({ end }) => end === at));
  return repeat ? repeat.end + 1 : null;
}

function takeJump(walk: Walk, at: number, jump: FormJump): number {
  walk.obeys = jump.al;
  walk.repeats.forEach((repeat, r) => {
    walk.passes[r] = repeat.times;
  });
  return jump.to === 'segno' ? segnoFor(walk.bars, at) : walk.topFrom(at);
}

/** In the coda repeats count again. */
function goToCoda(walk: Walk, at: number): number {
  walk.obeys = null;
  walk.passes.fill(1);
  return codaAfter(walk.bars, at);
}

/** The last segno before the jump, or else the first there is. */
function segnoFor(bars: readonly WrittenBar[], at: number): number {
  for (let i = at; i >= 0; i--) if (bars[i]?.marks.includes('segno')) return i;
  return bars.findIndex((bar) => bar.marks.includes('segno'));
}

/** The first coda after the place, or else the first there is. */
function codaAfter(bars: readonly WrittenBar[], at: number): number {
  const after = bars.findIndex((bar, i) => i > at && bar.marks.includes('coda'));
  return after >= 0 ? after : bars.findIndex((bar) => bar.marks.includes('coda'));
}

/** Jumps whose goal is missing, and jumps that would never end. */
function signFault(bars: readonly WrittenBar[]): RouteFault | null {
  const marks = new Set(bars.flatMap((bar) => bar.marks));
  const has = (mark: WrittenBar['marks'][number]) => marks.has(mark);
  for (let index = 0; index < bars.length; index++) {
    const jump = bars[index]?.jump;
    if (!jump) continue;
    const missing =
      jump.to === 'segno' && !has('segno')
        ? 'Segno'
        : jump.al === 'fine' && !has('fine')
          ? 'Fine'
          : jump.al === 'coda' && !has('to-coda')
            ? 'To Coda'
            : (jump.al === 'coda' || (jump.al === 'end' && has('to-coda'))) && !has('coda')
              ? 'Coda'
              : null;
    if (missing) return { code: 'tune/jump', index, data: { missing, jump: jumpName(jump) } };
    const bare = jump.al === 'end' && !has('fine') && !has('to-coda');
    if (bare && index === bars.length - 1) {
      return { code: 'tune/form-endless', index, data: { reason: 'jump', jump: jumpName(jump) } };
    }
  }
  return null;
}

/** A jump as it is written: `D.S. al Coda`. */
export function jumpName(jump: FormJump): string {
  const where = jump.to === 'capo' ? 'D.C.' : 'D.S.';
  return jump.al === 'end' ? where : `${where} al ${jump.al === 'fine' ? 'Fine' : 'Coda'}`;
}

function tooLong(index: number): RouteFault {
  return { code: 'tune/form-endless', index, data: { reason: 'long', most: LARGEST_FORM } };
}
