/** Crockford's base 32: no I, L, O, U, so that an id can be read out loud. */
const ALPHABET = '0123456789abcdefghjkmnpqrstvwxyz';
const TIME_DIGITS = 10;
const RANDOM_DIGITS = 16;

/** Makes ids; see {@link idMaker}. */
export type MakeId = () => string;

/**
 * Ids of 26 characters that sort by the moment they were made: ten digits of milliseconds since 1970,
 * sixteen random ones (80 bits). Two ids of one millisecond, or after the clock went back, still sort in
 * the order they were made, because the random part then counts up from the one before.
 * Construction: the ULID specification (github.com/ulid/spec), in lower case.
 *
 * @param now milliseconds since 1970
 * @param random so many random bytes
 */
export function idMaker(now: () => number, random: (bytes: number) => Uint8Array): MakeId {
  let lastTime = -1;
  let lastDigits: number[] = [];
  return () => {
    const time = Math.max(now(), lastTime);
    lastDigits = time === lastTime ? next(lastDigits) : randomDigits(random);
    lastTime = time;
    return timeText(time) + lastDigits.map((digit) => ALPHABET[digit]).join('');
  };
}

function randomDigits(random: (bytes: number) => Uint8Array): number[] {
  // The top digit stays below 16, so that counting up has room for as long as anyone will run this.
  return [...random(RANDOM_DIGITS)].map((byte, index) => byte % (index === 0 ? 16 : 32));
}

function next(digits: readonly number[]): number[] {
  const grown = [...digits];
  for (let index = grown.length - 1; index >= 0; index--) {
    const digit = grown[index] ?? 0;
    grown[index] = (digit + 1) % 32;
    if (digit < 31) break;
  }
  return grown;
}

function timeText(time: number): string {
  let text = '';
  let rest = Math.floor(time);
  for (let place = 0; place < TIME_DIGITS; place++) {
    text = ALPHABET[rest % 32] + text;
    rest = Math.floor(rest / 32);
  }
  return text;
}
