/** Letters that carry no removable mark but are looked for without it. */
const PLAIN: Readonly<Record<string, string>> = {
  ß: 'ss',
  æ: 'ae',
  œ: 'oe',
  ø: 'o',
  đ: 'd',
  ð: 'd',
  ł: 'l',
  þ: 'th',
  ħ: 'h',
  ı: 'i',
};

/**
 * Text as it is looked for: without case and without marks on letters. SQLite folds ASCII case only and
 * keeps letters such as `ø` apart, so both what is stored for searching and what is asked pass through here.
 *
 * @example foldText('Café Ångström') // 'cafe angstrom'
 */
export function foldText(text: string): string {
  return text
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .toLowerCase()
    .replaceAll(/[ßæœøđðłþħı]/gu, (letter) => PLAIN[letter] ?? letter);
}

/** Words of a text that can be looked for: runs of letters and digits. */
export function wordsOf(text: string): readonly string[] {
  return foldText(text).match(/[\p{L}\p{N}]+/gu) ?? [];
}

/**
 * A chord symbol as one word for the search index, which would cut `F#m7b5/E` into pieces: every sign that
 * is not a letter or digit becomes `q` and its code. The symbol must be canonical; case does not matter
 * in canonical symbols.
 *
 * @example chordWord('F#m7b5/E') // 'fq23m7b5q2fe'
 */
export function chordWord(symbol: string): string {
  return symbol
    .toLowerCase()
    .replaceAll(/[^a-z0-9]/gu, (sign) => `q${(sign.codePointAt(0) ?? 0).toString(16)}`);
}
