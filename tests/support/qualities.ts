import { BIT } from '../../shared-core/chord/degrees.ts';
import { ALT_MASK } from '../../shared-core/chord/quality.ts';

const THIRDS = [BIT.three, BIT.b3, 0, BIT.two, BIT.four, BIT.two | BIT.four, BIT.four | BIT.three];
const FIFTHS = [BIT.five, BIT.b5, BIT.s5, BIT.b5 | BIT.s5, 0];
const SEVENTHS = [0, BIT.six, BIT.b6, BIT.b7, BIT.seven, BIT.bb7, BIT.bb7 | BIT.seven];
const NINTHS = [0, BIT.nine, BIT.b9, BIT.s9, BIT.b9 | BIT.s9];
const ELEVENTHS = [0, BIT.eleven, BIT.s11];
const THIRTEENTHS = [0, BIT.b13, BIT.thirteen];

const has = (mask: number, bits: number): boolean => (mask & bits) !== 0;

/** Whether a sum of degrees is one the reader can make: nothing in it says the same twice. */
function isConstructible(mask: number): boolean {
  if (has(mask, BIT.six) && has(mask, BIT.thirteen)) return false;
  if (has(mask, BIT.b6) && has(mask, BIT.b13 | BIT.thirteen)) return false;
  if (has(mask, BIT.four) && has(mask, BIT.eleven)) return false;
  if (has(mask, BIT.two) && has(mask, BIT.b9 | BIT.nine | BIT.s9)) return false;
  if (!has(mask, BIT.bb7)) return true;
  const thirdFits = !has(mask, BIT.three | BIT.two | BIT.four);
  const fifthFits = has(mask, BIT.b5) || !has(mask, BIT.five | BIT.s5);
  return thirdFits && fifthFits;
}

/** Every mask of a chord quality the reader can make: a few thousand. */
export function constructibleMasks(): number[] {
  const masks = [ALT_MASK];
  for (const third of THIRDS)
    for (const fifth of FIFTHS)
      for (const seventh of SEVENTHS)
        for (const ninth of NINTHS)
          for (const eleventh of ELEVENTHS)
            for (const thirteenth of THIRTEENTHS) {
              const mask = BIT.root | third | fifth | seventh | ninth | eleventh | thirteenth;
              if (isConstructible(mask)) masks.push(mask);
            }
  return masks;
}
