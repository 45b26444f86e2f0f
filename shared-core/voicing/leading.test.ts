import { describe, expect, it } from 'vitest';
import type { Chord } from '../chord/model.ts';
import { parseChord } from '../chord/parse.ts';
import { distance, leastMotion } from './leading.ts';

function chordOf(text: string): Chord {
  const read = parseChord(text);
  if (!read.ok || read.value.kind !== 'chord') throw new Error(`${text} is no chord`);
  return read.value;
}

const between = (from: string, to: string) => leastMotion(chordOf(from), chordOf(to));

describe('the least motion between two chords', () => {
  it('moves C to B and A to G from Dm7 to G7, and keeps D and F', () => {
    expect(between('Dm7', 'G7')).toEqual({
      semitones: 3,
      common: 2,
      guideSteps: 2,
      guideMoves: 2,
    });
  });

  it('is nothing from a chord to itself, or to its other name', () => {
    expect(between('C6', 'C6').semitones).toBe(0);
    expect(between('C6', 'Am7').semitones).toBe(0);
    expect(between('Cdim7', 'Ebdim7').semitones).toBe(0);
  });

  it('is four semitones for a chord slid by one', () => {
    expect(between('Ebm7', 'Dm7').semitones).toBe(4);
  });

  it('is a semitone for two voices between a dominant and its tritone substitute', () => {
    const motion = between('G7', 'Db7');
    expect(motion).toMatchObject({ common: 2, guideSteps: 2, semitones: 2 });
  });

  it('is the same there and back, in every key', () => {
    const symbols = ['Cmaj7', 'Fm7', 'Bb7', 'Ebmaj7', 'Am7b5', 'D7b9', 'Gm6', 'F#dim7', 'E7alt'];
    for (const from of symbols)
      for (const to of symbols)
        expect(between(from, to).semitones).toBe(between(to, from).semitones);
    expect(between('Em7', 'A7')).toEqual(between('Dm7', 'G7'));
    expect(between('Ebm7', 'Ab7')).toEqual(between('Dm7', 'G7'));
  });

  it('never asks a voice to go further than a tritone', () => {
    for (const to of ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'])
      expect(between('Cmaj7', `${to}m7`).semitones).toBeLessThanOrEqual(24);
  });

  it('compares one guide tone for a triad', () => {
    expect(between('C', 'F').guideMoves).toBe(1);
  });

  it('leaves the bass out: it belongs to the bass player', () => {
    expect(between('Dm7/G', 'Cmaj7')).toEqual(between('Dm7', 'Cmaj7'));
  });
});

describe('the distance of two pitch classes', () => {
  it('is taken the short way round', () => {
    expect([distance(0, 11), distance(11, 0), distance(0, 6), distance(2, 9)]).toEqual([
      1, 1, 6, 5,
    ]);
  });
});
