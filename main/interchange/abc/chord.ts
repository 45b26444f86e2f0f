import type { Harmony } from '../../../shared-core/chord/model.ts';
import { parseChord } from '../../../shared-core/chord/parse.ts';

/**
 * A chord in quotation marks. First as any chord symbol; then as some ABC collections write it: bass in
 * lower case with `+` for sharp (`D/f+`), `d` for diminished and `a` for augmented after the root
 * (`C#d`, `Ea`), a blank inside (`D m`). Null for anything else.
 */
export function readAbcChord(text: string): Harmony | null {
  const plain = parseChord(text);
  if (plain.ok) return plain.value;
  const respelled = text
    .replace(/\s+/gu, '')
    .replace(/^([A-G][b#]?)d(?=$|\/)/u, '$1dim')
    .replace(/^([A-G][b#]?)a(?=$|\/)/u, '$1aug')
    .replace(/\/([a-gA-G])([+#b-]?)$/u, (_all, letter: string, mark: string) => {
      const accidental = mark === '+' || mark === '#' ? '#' : mark === '' ? '' : 'b';
      return `/${letter.toUpperCase()}${accidental}`;
    });
  const read = parseChord(respelled);
  return read.ok ? read.value : null;
}
