import { describe, expect, test } from 'vitest';
import { changesOf, find, meterNamed, siteFrom, wordsOf } from '../../tests/support/site.ts';
import { DEVICES } from './index.ts';

describe.each(DEVICES)('$name', (device) => {
  test('brings at least three worked examples', () => {
    expect(device.examples.length).toBeGreaterThanOrEqual(3);
  });

  test.each(device.examples)('writes $after over $before', (example) => {
    const site = siteFrom(example.key, example.before, example.next ?? null, example.meter);
    const wanted = changesOf(example.after, meterNamed(example.meter ?? '4/4'));
    const rewrites = device.propose(site);
    expect(
      find(rewrites, wanted),
      `wanted ${wordsOf(wanted)}\n${rewrites.map((r) => `${r.degree} ${r.variant}: ${wordsOf(r.changes)}`).join('\n')}`,
    ).toBeDefined();
  });
});
