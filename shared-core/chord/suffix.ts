import { BIT, GROUP, rowsOf } from './degrees.ts';

/**
 * A quality taken apart the way a copyist writes it: what stands on the line (`m`, `maj`, `7`), what
 * is altered, added and left out. Both spelling habits of print are put together from these parts.
 */
export interface SuffixParts {
  /** Third and fifth in one word. `half-dim` is written out as `m` and `b5` where words are used. */
  readonly triad: '' | 'm' | 'dim' | 'aug' | 'half-dim';
  /** True when the seventh is the major seventh. */
  readonly majorSeventh: boolean;
  /** `''`, `5`, `6`, `6/9`, `7`, `9`, `11`, `13`. */
  readonly number: string;
  /** `sus4`, `sus2`, `sus2sus4` or empty. */
  readonly suspension: string;
  /** Altered fifths and tensions by size: `b5`, `#9`. */
  readonly alterations: readonly string[];
  /** `add9`, `addb13`, `addMaj7`, `add3`. */
  readonly additions: readonly string[];
  /** `no3`, `no5`. */
  readonly omissions: readonly string[];
  readonly alt: boolean;
}

const has = (mask: number, bits: number): boolean => (mask & bits) !== 0;

/** Whether the diminished words carry this quality: `dim`, `dim7`, `dimMaj7` and what is added to them. */
function isDiminished(mask: number): boolean {
  if (has(mask, BIT.bb7)) return true;
  const flatFive = has(mask, BIT.b3) && (mask & GROUP.fifths) === BIT.b5;
  return flatFive && !has(mask, BIT.b7 | BIT.six);
}

function triadOf(mask: number): SuffixParts['triad'] {
  if (isDiminished(mask)) return 'dim';
  const fifths = mask & GROUP.fifths;
  if (has(mask, BIT.b3)) return fifths === BIT.b5 && has(mask, BIT.b7) ? 'half-dim' : 'm';
  const plainTriad = !has(mask, GROUP.sevenths | BIT.six | GROUP.suspensions);
  return plainTriad && fifths === BIT.s5 ? 'aug' : '';
}

/** The figure of the chord, and the natural tensions that figure already says. */
function figureOf(mask: number): { number: string; said: number } {
  const ninth = has(mask, GROUP.ninths | BIT.two);
  if (has(mask, BIT.bb7)) return { number: '7', said: 0 };
  if (has(mask, GROUP.sevenths)) {
    const dominantThird = has(mask, BIT.three) && has(mask, BIT.b7);
    const noThird = !has(mask, GROUP.thirds | GROUP.suspensions);
    if (ninth && has(mask, BIT.eleven) && noThird && has(mask, BIT.b7)) {
      return { number: '11', said: BIT.eleven | BIT.nine };
    }
    if (ninth && has(mask, BIT.thirteen)) return { number: '13', said: BIT.thirteen | BIT.nine };
    if (ninth && has(mask, BIT.eleven) && !dominantThird) {
      return { number: '11', said: BIT.eleven | BIT.nine };
    }
    return has(mask, BIT.nine) ? { number: '9', said: BIT.nine } : { number: '7', said: 0 };
  }
  if (has(mask, BIT.six)) {
    return has(mask, BIT.nine) ? { number: '6/9', said: BIT.nine } : { number: '6', said: 0 };
  }
  return { number: isPower(mask) ? '5' : '', said: 0 };
}

/** Root and fifth without a third, a suspension or a seventh. */
function isPower(mask: number): boolean {
  const missing = GROUP.thirds | GROUP.suspensions | GROUP.sevenths | BIT.six;
  return !has(mask, missing) && (mask & GROUP.fifths) === BIT.five;
}

function suspensionOf(mask: number): string {
  return (has(mask, BIT.two) ? 'sus2' : '') + (has(mask, BIT.four) ? 'sus4' : '');
}

function alterationsOf(mask: number, triad: SuffixParts['triad'], figure: string): string[] {
  let bits = mask & (BIT.b5 | BIT.s5 | BIT.b6);
  if (triad === 'dim') bits &= ~BIT.b5;
  if (triad === 'aug') bits &= ~BIT.s5;
  if (figure !== '' && figure !== '5') bits |= mask & (GROUP.alteredNinths | BIT.s11 | BIT.b13);
  return rowsOf(bits).map((degree) => degree.name);
}

function additionsOf(mask: number, figure: string, said: number): string[] {
  const tensions = GROUP.ninths | GROUP.elevenths | GROUP.thirteenths;
  const altered = GROUP.alteredNinths | BIT.s11 | BIT.b13;
  const kept = figure === '' || figure === '5' ? tensions : tensions & ~altered;
  const names = rowsOf(mask & kept & ~said).map((degree) => `add${degree.name}`);
  if (has(mask, BIT.bb7) && has(mask, BIT.seven)) names.push('addMaj7');
  if (has(mask, BIT.three) && has(mask, GROUP.suspensions)) names.push('add3');
  return names;
}

function omissionsOf(mask: number, figure: string): string[] {
  const names: string[] = [];
  const thirdExpected = figure !== '5' && !(figure === '11' && has(mask, BIT.b7));
  const hasThird = has(mask, GROUP.thirds | GROUP.suspensions);
  if (thirdExpected && !hasThird) names.push('no3');
  if (!has(mask, GROUP.fifths)) names.push('no5');
  return names;
}

/** Takes a quality apart for writing. The mask must be one that the reader makes (see `meaning.ts`). */
export function suffixParts(mask: number): SuffixParts {
  const alt = has(mask, BIT.alt);
  const triad = alt ? '' : triadOf(mask);
  const { number, said } = alt ? { number: '7', said: 0 } : figureOf(mask);
  return {
    triad,
    majorSeventh: has(mask, BIT.seven) && !has(mask, BIT.bb7),
    number,
    suspension: suspensionOf(mask),
    alterations: alt ? [] : alterationsOf(mask, triad, number),
    additions: alt ? [] : additionsOf(mask, number, said),
    omissions: alt ? [] : omissionsOf(mask, number),
    alt,
  };
}

/** What stands before the alterations in words: `m7`, `mMaj9`, `dimMaj7`, `maj7`, `aug`. */
export function wordHead(parts: SuffixParts): string {
  const triad = parts.triad === 'half-dim' ? 'm' : parts.triad;
  const major = parts.majorSeventh ? (triad === '' ? 'maj' : 'Maj') : '';
  return triad + major + (parts.alt ? '7alt' : parts.number);
}

/**
 * The canonical suffix in plain ASCII words: `''`, `m7`, `maj7`, `7b9`, `m7b5`, `7alt`, `6/9`, `(b5)`.
 * A suffix that would start with an accidental stands in brackets, because an accidental right after
 * the letter belongs to the root.
 */
export function wordSuffix(mask: number): string {
  const parts = suffixParts(mask);
  if (parts.alt) return wordHead(parts);
  const head = wordHead(parts);
  const altered = parts.alterations.join('');
  const seventh = parts.number !== '' && parts.number !== '5';
  const core = seventh
    ? head + altered + parts.suspension
    : head +
      parts.suspension +
      (head + parts.suspension === '' && altered ? `(${altered})` : altered);
  return core + parts.additions.join('') + parts.omissions.join('');
}
