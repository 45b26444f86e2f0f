import { describe, expect, it } from 'vitest';
import { idMaker } from './ids.ts';

const fixed = (bytes: number) => new Uint8Array(bytes).fill(31);

describe('ids', () => {
  it('writes the time as the ULID specification does', () => {
    // Worked example of github.com/ulid/spec: 1469918176385 ms is 01ARYZ6S41.
    const id = idMaker(() => 1_469_918_176_385, fixed)();
    expect(id.slice(0, 10)).toBe('01aryz6s41');
    expect(id).toHaveLength(26);
  });

  it('sorts in the order of making, within a millisecond and when the clock goes back', () => {
    const clock = [5, 5, 5, 3, 9];
    const make = idMaker(() => clock.shift() ?? 9, fixed);
    const ids = [make(), make(), make(), make(), make(), make()];
    expect([...ids].sort()).toEqual(ids);
    expect(new Set(ids).size).toBe(6);
  });

  it('carries over when the last digit is full', () => {
    const make = idMaker(
      () => 1,
      (bytes) => new Uint8Array(bytes).map((_, index) => (index < 15 ? 0 : 31)),
    );
    expect([make().slice(-3), make().slice(-3)]).toEqual(['00z', '010']);
  });
});
