import { expect, it } from 'vitest';
import { formatTable } from '../report/report.ts';
import { measure, summarise } from './measure.ts';

it('the median and the slow end are times that were measured', () => {
  const times = Array.from({ length: 100 }, (_, index) => 100 - index);
  const summary = summarise({ name: 'a', budget: 50 }, times);
  expect(summary).toMatchObject({ runs: 100, fastest: 1, median: 50, p95: 95, within: true });
});

it('over budget is said, and no budget is no verdict', () => {
  expect(summarise({ name: 'a', budget: 1 }, [2, 3, 4]).within).toBe(false);
  expect(summarise({ name: 'a' }, [2]).within).toBeNull();
});

it('what cannot be measured says why and is not run', async () => {
  let runs = 0;
  const result = await measure({
    name: 'a',
    unavailable: () => 'no printer',
    run: () => {
      runs += 1;
    },
  });
  expect(result).toEqual({ name: 'a', unavailable: 'no printer' });
  expect(runs).toBe(0);
});

it('what was set up is taken down again when a run fails', async () => {
  const seen: string[] = [];
  const failing = measure({
    name: 'a',
    before: () => void seen.push('before'),
    run: () => {
      throw new Error('broken');
    },
    after: () => void seen.push('after'),
  });
  await expect(failing).rejects.toThrow('broken');
  expect(seen).toEqual(['before', 'after']);
});

it('a table keeps its columns straight', () => {
  const table = formatTable([
    ['name', 'ms'],
    ['parse', '1.20'],
  ]);
  expect(table).toBe('name     ms\nparse  1.20');
});
