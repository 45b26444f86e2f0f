import { jumpWords } from '../../shared-core/parts/road.ts';
import { type Bar, placedChords, type SystemContext } from './bar-places.ts';
import { setChord } from './chord-symbol.ts';
import { type SetText, setText } from './fonts.ts';
import { LOOKS, scaledLook, WORDS } from './looks.ts';

/** A sign of the road map: segno, coda, To Coda, Fine or the jump. */
export interface Sign {
  readonly set: SetText;
  readonly x: number;
  /** Whether it has room on the line of the chords, after the last of its bar; else it stands in a row above. */
  readonly inline: boolean;
}

/** The signs of a line, each at its bar's left or right end. */
export function signsOf(context: SystemContext, bars: readonly Bar[]): readonly Sign[] {
  return bars.flatMap((bar) => [
    ...wordsOf(context, bar, 'left').map((words) => signAt(context, bar, words, 'left')),
    ...wordsOf(context, bar, 'right').map((words, at, all) => {
      const sign = signAt(context, bar, words, 'right');
      return { ...sign, inline: sign.inline && at === all.length - 1 };
    }),
  ]);
}

function wordsOf(
  { part: { jump, blocks } }: SystemContext,
  { printed }: Bar,
  side: 'left' | 'right',
): readonly string[] {
  if (!jump) return [];
  const { place, block, position, of } = printed;
  const inTarget = place === 'block' && block === jump.block;
  const leaves = place === 'block' && block === blocks.length - 1 && position === of - 1;
  if (side === 'left')
    return [
      ...(inTarget && position === 0 && jump.kind === 'D.S.' ? ['𝄋'] : []),
      ...(place === 'coda' && position === 0 ? ['𝄌 Coda'] : []),
    ];
  return [
    ...(inTarget && position === jump.bars - 1 ? [jump.al === 'coda' ? 'To Coda 𝄌' : 'Fine'] : []),
    ...(leaves ? [jumpWords(jump)] : []),
  ];
}

function signAt(context: SystemContext, bar: Bar, words: string, side: 'left' | 'right'): Sign {
  const { size } = context.sheet;
  const set = setText('bold', WORDS.sign * size, words);
  const { left, right } = bar.engraved;
  if (side === 'left') return { set, x: left, inline: false };
  const x = right - set.width;
  return { set, x, inline: x >= chordsEnd(context, bar) + 6 * size };
}

/** Right end of the symbols above the staff in a bar. */
function chordsEnd({ sheet: { size, style } }: SystemContext, bar: Bar): number {
  const above = bar.measure.solo ? 'solo' : 'band';
  const look = scaledLook(LOOKS.strong, size);
  const ends = placedChords(bar)
    .filter(({ layer }) => layer === above)
    .map(({ harmony, x }) => x + setChord(harmony, style, look).width);
  const scales = bar.measure.scales.length > 0 ? bar.engraved.right : bar.engraved.left;
  return Math.max(scales, ...ends);
}
