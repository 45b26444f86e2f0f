import { describe, expect, it } from 'vitest';
import { siteFrom } from '../../tests/support/site.ts';
import { inWhole, phrasesOf } from './phrases.ts';

const BAR = 3840;
const held = (bars: number) =>
  siteFrom('C major', new Array<string>(bars).fill('Cmaj7').join(' | '), 'Dm7');

describe('phrases inside a held stretch', () => {
  it.each([
    [1, []],
    [2, []],
    [3, ['0x2']],
    [4, ['0x2']],
    [5, ['0x4', '0x2']],
    [8, ['0x4', '0x2']],
    [9, ['0x8', '0x4']],
    [16, ['0x8', '0x4']],
    [20, ['0x8', '8x8', '0x4']],
  ])('of %s bars are those that the stretch goes on behind', (bars, wanted) => {
    const found = phrasesOf(held(bars)).map(
      ({ offset, site }) => `${offset / BAR}x${site.length / BAR}`,
    );
    expect(found).toEqual(wanted);
  });

  it('lead home to the chord that is held on', () => {
    const site = held(8);
    for (const phrase of phrasesOf(site)) expect(phrase.site.next).toBe(site.held);
  });

  it('become rewrites of the whole stretch, covering it exactly, with home before and after', () => {
    const site = held(20);
    const phrase = phrasesOf(site)[1];
    if (!phrase) throw new Error('no second phrase');
    const inside = { at: 0, length: phrase.site.length, harmony: { kind: 'none' } as const };
    const rewrite = {
      device: 'backdoor',
      degree: 'seventh',
      variant: 'x',
      carrier: 'either',
      changes: [inside],
      tells: null,
      home: null,
      reason: '',
    } as const;
    const whole = inWhole(phrase, rewrite);
    expect(whole.variant).toBe('x.of-8-from-9');
    expect(whole.changes).toEqual([
      { at: 0, length: 8 * BAR, harmony: site.held },
      { at: 8 * BAR, length: 8 * BAR, harmony: inside.harmony },
      { at: 16 * BAR, length: 4 * BAR, harmony: site.held },
    ]);
  });
});
