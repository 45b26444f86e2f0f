import { describe, expect, it } from 'vitest';
import { chordNamed } from '../../tests/support/site.ts';
import { midiOf } from '../pitch/spelled.ts';
import { handLeading } from './hand-leading.ts';
import { leastMotion } from './leading.ts';
import { voicePath } from './path.ts';

const chords = ['Dm7', 'G7', 'Cmaj7', 'Fm6', 'Cmaj7'].map(chordNamed);

describe('chords under a hand', () => {
  it('are the voicings of the path that is printed and sounds', () => {
    for (const instrument of ['guitar', 'piano'] as const) {
      const options = { instrument, withBass: true };
      expect(handLeading(chords, options).voicings).toEqual(voicePath(chords, options));
    }
  });

  it('have the top notes of those voicings', () => {
    const { voicings, top } = handLeading(chords, { instrument: 'guitar', withBass: true });
    const highest = voicings.map((voicing) => Math.max(...(voicing?.pitches ?? []).map(midiOf)));
    expect(top.map(midiOf)).toEqual(highest);
  });

  it('move by no fewer semitones than four free voices could', () => {
    const least = chords.slice(1).reduce((sum, chord, index) => {
      const before = chords[index];
      return before ? sum + leastMotion(before, chord).semitones : sum;
    }, 0);
    const four = { instrument: 'guitar', withBass: false, kinds: ['drop 2'] } as const;
    expect(handLeading(chords, four).semitones).toBeGreaterThanOrEqual(least);
  });

  it('do not move where one chord is held, and move by a semitone a voice in a side-step', () => {
    const options = { instrument: 'guitar', withBass: true } as const;
    const [home, aside] = [chordNamed('Dm7'), chordNamed('Ebm7')];
    expect(handLeading([home, home], options).semitones).toBe(0);
    const { voicings, semitones } = handLeading([home, aside, home], options);
    expect(semitones).toBe(2 * (voicings[0]?.pitches.length ?? 0));
  });
});
