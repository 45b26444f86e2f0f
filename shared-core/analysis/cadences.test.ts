import { describe, expect, it } from 'vitest';
import { readTune } from '../tune/read.ts';
import { analyse } from './analyse.ts';

/** Cadences of a tune in C as `kind chord-chord-arrival`. */
function cadences(bars: string, key = 'C major'): string[] {
  const { tune } = readTune(`key: ${key}\n${bars}`);
  const analysis = tune && analyse(tune, []);
  if (!analysis?.ok) throw new Error(bars);
  return analysis.value.cadences.map(({ kind, chords }) => `${kind} ${chords.join('-')}`);
}

// Names of the cadences: common practice, no source.
describe('cadencesOf', () => {
  it('hears a perfect cadence with the chords that make it', () => {
    expect(cadences('| Am7 | Dm7 | G7 | Cmaj7 | Fmaj7 | Em7 |')).toContain('perfect 0-1-2-3');
  });

  it('hears a plagal one', () => {
    expect(cadences('| Cmaj7 | Em7 | Fmaj7 | Cmaj7 | Am7 | Em7 |')).toContain('plagal 2-3');
  });

  it('hears the backdoor with its two', () => {
    expect(cadences('| Cmaj7 | Fm7 | Bb7 | Cmaj7 | Am7 | Em7 |')).toContain('backdoor 1-2-3');
  });

  it('hears the tritone substitute go home', () => {
    expect(cadences('| Cmaj7 | Dm7 | Db7 | Cmaj7 | Am7 | Em7 |')).toContain('tritone 1-2-3');
  });

  it('hears a dominant that goes to six instead', () => {
    expect(cadences('| Cmaj7 | Dm7 | G7 | Am7 | Fmaj7 | Em7 |')).toContain('deceptive 1-2-3');
  });

  it('hears a phrase stop on its dominant', () => {
    const text = '[A]\n| Cmaj7 | Am7 | Dm7 | G7 |\n[B]\n| Fmaj7 | Em7 | Dm7 G7 | Cmaj7 |';
    expect(cadences(text)).toContain('half 1-2-3');
  });

  it('hears the way from the end to the top as a turnaround', () => {
    expect(cadences('| Cmaj7 | Fmaj7 | Em7 A7 | Dm7 G7 |')).toContain('turnaround 2-3-4-5-0');
  });
});
