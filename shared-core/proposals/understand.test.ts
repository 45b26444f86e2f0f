import { describe, expect, it } from 'vitest';
import type { Analysis } from '../analysis/model.ts';
import { symbolOf } from '../chord/format.ts';
import { readTune } from '../tune/read.ts';
import { thinAt, understand } from './understand.ts';

function understood(bars: string): Analysis {
  const { tune } = readTune(`key: C major\n${bars}`);
  const analysis = tune && understand(tune);
  if (!analysis?.ok) throw new Error(bars);
  return analysis.value;
}

/** What the changes at a chord come down to, as symbols. */
function thinned(bars: string, index: number): string[] | null {
  const thinning = thinAt(understood(bars), index);
  return thinning?.changes.map(({ harmony }) => symbolOf(harmony)) ?? null;
}

describe('understand', () => {
  // One device to a tune, as the handbooks write them; sources stand in the device files.
  it.each([
    ['| Cmaj7 | Fm6 | Cmaj7 | Cmaj7 |', 1, 'minor-four'],
    ['| Cmaj7 | Fm7 Bb7 | Cmaj7 | Cmaj7 |', 2, 'backdoor'],
    ['| Dm7 | Db7 | Cmaj7 | Cmaj7 |', 1, 'tritone-substitute'],
    ['| Cmaj7 C#dim7 | Dm7 G7 | Cmaj7 | Cmaj7 |', 1, 'passing-diminished'],
    ['| Cmaj7 | Cmaj7 A7 | Dm7 G7 | Cmaj7 |', 2, 'lead-in-dominant'],
    ['| Cmaj7 | Gm7 C7 | Fmaj7 | Dm7 G7 |', 1, 'related-two-five'],
    ['| Cmaj7 | E7 A7 | D7 G7 | Cmaj7 |', 2, 'dominant-chain'],
    ['| Cmaj7 Dbmaj7 | Cmaj7 | Dm7 | G7 |', 1, 'side-step'],
    ['| Am AmMaj7 | Am7 Am6 | Dm7 G7 | Cmaj7 |', 1, 'line-cliche'],
    ['| Dm7 | G7sus4 G7 | Cmaj7 | Cmaj7 |', 1, 'suspended-preparation'],
    ['| Cmaj7 Cdim7 | Cmaj7 | Dm7 | G7 |', 1, 'common-tone-diminished'],
  ])('in %s recognises at chord %i the device %s', (bars, index, device) => {
    expect(understood(bars).chords[index]?.device).toBe(device);
  });

  it('recognises a device over the chords that belong to its goal', () => {
    // D7 waits for G7 while its two comes in between.
    const chord = understood('| Cmaj7 | D7 | Dm7 G7 | Cmaj7 |').chords[1];
    expect(chord).toMatchObject({ roman: 'V7/V', prepares: 3, device: 'dominant-chain' });
  });

  it('calls plain home and a plain five no device', () => {
    const chords = understood('| Cmaj7 | G7 | Cmaj7 | Cmaj7 |').chords;
    expect(chords.map(({ device }) => device)).toEqual([null, null, null, null]);
  });
});

describe('thinAt', () => {
  it('takes a minor four out of a stretch of home', () => {
    expect(thinned('| Cmaj7 | Fm6 | Cmaj7 | Dm7 G7 |', 1)).toEqual(['Cmaj7']);
  });

  it('has nothing to take out where no device stands', () => {
    expect(thinned('| Cmaj7 | Fm6 | Cmaj7 | Dm7 G7 |', 0)).toBeNull();
  });
});
