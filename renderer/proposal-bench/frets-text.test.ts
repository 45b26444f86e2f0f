import { expect, test } from 'vitest';
import { fretsText } from './frets-text.ts';

test('a shape reads from the lowest string up, x for a string left out', () => {
  expect(fretsText([null, 3, 2, 4, 3, null], 0)).toBe('x3243x');
});

test('a shape with frets of two figures has hyphens', () => {
  expect(fretsText([null, 10, 9, 10, 9, null], 0)).toBe('x-10-9-10-9-x');
});

test('frets are counted from the capo', () => {
  expect(fretsText([null, 5, 4, 5, 3, 3], 3)).toBe('x21200');
});
