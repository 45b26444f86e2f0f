import { symbolOf } from '../../shared-core/chord/format.ts';
import { parseChord } from '../../shared-core/chord/parse.ts';
import type { TuneRow } from '../../shared-core/contract/types.ts';
import type { AppContext } from './context.ts';

/** Tunes by title. `search` looks in titles, credits and chord symbols. */
export function listTunes(
  context: AppContext,
  search: string,
  binned: boolean,
): readonly TuneRow[] {
  const words = search.split(/\s+/u).filter((word) => word !== '');
  if (words.length === 0) return context.library.tunes.list(null, binned);
  return context.library.tunes.list({ words, symbols: words.map(canonicalSymbol) }, binned);
}

/** The canonical spelling of a word that is a chord symbol; `A-7` is looked for as `Am7`. */
function canonicalSymbol(word: string): string | null {
  const read = parseChord(word);
  return read.ok ? symbolOf(read.value) : null;
}
