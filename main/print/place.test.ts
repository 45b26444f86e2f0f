import { expect, test } from 'vitest';
import { apart } from './place.ts';

test('words that touch are set apart, and the ones after them as far as they must', () => {
  const touching = [
    { from: 0, to: 10 },
    { from: 10, to: 20 },
    { from: 21, to: 31 },
    { from: 60, to: 70 },
  ];
  expect(apart(touching, 3)).toEqual([
    { from: 0, to: 10 },
    { from: 13, to: 23 },
    { from: 26, to: 36 },
    { from: 60, to: 70 },
  ]);
});

test('words with room between them stay where they are', () => {
  const clear = [
    { from: 0, to: 10 },
    { from: 13, to: 20 },
  ];
  expect(apart(clear, 3)).toEqual(clear);
});
