/**
 * A fixed "throw of dice" for a seed and a place: 0 (included) to 1 (excluded). The same on every machine,
 * because it is whole-number arithmetic alone. (Integer mixing after the finaliser of MurmurHash3, public
 * domain; from memory.)
 */
export function chance(seed: number, place: number, salt: number): number {
  let mixed =
    Math.imul(seed ^ 0x9e3779b9, 0x85ebca6b) ^
    Math.imul(place + 1, 0xc2b2ae35) ^
    Math.imul(salt, 0x27d4eb2f);
  mixed = Math.imul(mixed ^ (mixed >>> 16), 0x85ebca6b);
  mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
  return ((mixed ^ (mixed >>> 16)) >>> 0) / 4294967296;
}
