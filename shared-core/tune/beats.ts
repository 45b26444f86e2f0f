/** An exact number of beats: whole over whole, the lower figure over 0. */
export interface Fraction {
  readonly over: number;
  readonly under: number;
}

const LARGEST = 100_000;

/**
 * Reads a number of beats: `3`, `1/2`, `1 1/2`, `1+1/2`, `2.5`. Null for anything else, for a lower
 * figure of 0 and for figures past 100,000.
 *
 * @example parseBeats('1 1/2') // { over: 3, under: 2 }
 */
export function parseBeats(text: string): Fraction | null {
  const trimmed = text.trim();
  const decimal = /^(\d{1,5})\.(\d{1,4})$/u.exec(trimmed);
  if (decimal) {
    const under = 10 ** (decimal[2]?.length ?? 0);
    return reduced(Number(decimal[1]) * under + Number(decimal[2]), under);
  }
  const match = /^(?:(\d{1,6})(?:\s*\+\s*|\s+))?(\d{1,6})(?:\s*\/\s*(\d{1,6}))?$/u.exec(trimmed);
  if (!match || (match[1] !== undefined && match[3] === undefined)) return null;
  const under = Number(match[3] ?? 1);
  const whole = Number(match[1] ?? 0);
  if (under === 0 || under > LARGEST || whole > LARGEST) return null;
  return reduced(whole * under + Number(match[2]), under);
}

/** Lowest terms. */
export function reduced(over: number, under: number): Fraction {
  const divisor = greatestCommonDivisor(over, under);
  return divisor === 0 ? { over: 0, under: 1 } : { over: over / divisor, under: under / divisor };
}

/** Greatest common divisor of two whole numbers, 0 of two zeros. */
export function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? Math.abs(a) : greatestCommonDivisor(b, a % b);
}

/** `fraction` times `unit` ticks; null where that is no whole number of ticks. */
export function ticksOf(fraction: Fraction, unit: number): number | null {
  const ticks = (fraction.over * unit) / fraction.under;
  return Number.isSafeInteger(ticks) ? ticks : null;
}

/** Writes ticks as beats of `unit` ticks: `3`, `1/2`, `1 1/2`. `glue` stands between whole and part. */
export function beatsText(ticks: number, unit: number, glue = ' '): string {
  const { over, under } = reduced(ticks, unit);
  if (under === 1) return `${over}`;
  const whole = Math.floor(over / under);
  const part = `${over - whole * under}/${under}`;
  return whole === 0 ? part : `${whole}${glue}${part}`;
}
