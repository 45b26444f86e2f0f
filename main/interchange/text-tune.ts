import { tuneMessage } from '../../shared-core/tune/messages.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { Refusal } from './errors.ts';
import type { ImportedTune } from './finish.ts';

/**
 * Reads a file of tune text. A text with a mistake is refused as a whole, because a wrong chord would be
 * printed; the sentence is that of the first mistake and says how many more there are.
 */
export function readTuneText(text: string): ImportedTune {
  const { tune, errors } = readTune(text);
  const first = errors[0];
  if (first) {
    const { line, column, bar } = first.place;
    const more = errors.length - 1;
    const rest =
      more === 0 ? '' : ` ${more} more ${more === 1 ? 'mistake follows' : 'mistakes follow'}.`;
    throw new Refusal('import/tune-text', `${tuneMessage({ ...first, place: {} })}${rest}`, {
      ...(line === undefined ? {} : { line }),
      ...(column === undefined ? {} : { column }),
      ...(bar === undefined ? {} : { bar }),
    });
  }
  if (!tune) throw new Refusal('import/no-bars', 'there are no bars in it.');
  return { tune, warnings: [] };
}
