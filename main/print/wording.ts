import type { Part, PartCue } from '../../shared-core/parts/model.ts';
import type { PrintedMeasure } from '../../shared-core/parts/printed.ts';

/** `2, 3 and 5` for lists of choruses. */
export function listOf(numbers: readonly number[]): string {
  if (numbers.length < 2) return numbers.join('');
  return `${numbers.slice(0, -1).join(', ')} and ${numbers.at(-1)}`;
}

/** `ch. 3`, `ch. 2 and 4`: over a bar, where room is dear. */
export function shortChoruses(numbers: readonly number[]): string {
  return `ch. ${listOf(numbers)}`;
}

/** `over the top: `, `ch. 3, tell: `, or nothing where the cue of the bar before goes on. */
export function cueWords(cue: PartCue): string {
  const chorus = cue.choruses ? shortChoruses(cue.choruses) : '';
  const words = [chorus, cue.words ?? ''].filter(Boolean).join(', ');
  return words === '' ? '' : `${words}: `;
}

/** Said beside the heading of a block with changes of single choruses over its bars. */
export const STRIP_LEGEND = 'bracketed changes: in that chorus only';

/** Words over the first line of a block, strip or coda; null where there are none. */
export function headingOf(part: Part, printed: PrintedMeasure): string | null {
  const block = part.blocks[printed.block];
  if (!block) return null;
  if (printed.place === 'coda') return part.jump?.heading ?? null;
  if (printed.place === 'block') return block.heading;
  if (printed.place === 'cue') return block.cue && `cue: ${block.cue.words}`;
  const strip = block.strips[printed.strip];
  if (!strip) return null;
  const numbers = strip.measures.map((measure) => measure.number);
  const bars = numbers.length === 1 ? `bar ${numbers[0]}` : `bars ${numbers[0]}–${numbers.at(-1)}`;
  return `Chorus ${listOf(strip.choruses)}, ${bars}:`;
}
