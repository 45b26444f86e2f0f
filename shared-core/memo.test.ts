import { expect, test } from 'vitest';
import { memo } from './memo.ts';

test('what is remembered about an object is found again, by whoever keeps it', () => {
  const [ages, names] = [memo<object, number>(), memo<object, string>()];
  const tune = {};
  expect(ages.of(tune)).toBeUndefined();
  ages.keep(tune, 3);
  names.keep(tune, 'three');
  ages.keep(tune, 4);
  expect([ages.of(tune), names.of(tune)]).toEqual([4, 'three']);
});

test('what is remembered shows in no copy, comparison or print of the object', () => {
  const ages = memo<object, number>();
  const tune = { title: 'T' };
  ages.keep(tune, 3);
  expect(tune).toStrictEqual({ title: 'T' });
  expect(JSON.stringify(tune)).toBe('{"title":"T"}');
  expect(ages.of({ ...tune })).toBeUndefined();
  expect(ages.of(structuredClone(tune))).toBeUndefined();
});
