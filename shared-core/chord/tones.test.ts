import { describe, expect, it } from 'vitest';
import { chordOf, harmonyOf, notesIn } from '../../tests/support/chord.ts';
import { nameOf } from '../pitch/spelled.ts';
import { chord, qualityOf } from './build.ts';
import { symbolOf } from './format.ts';
import { chromaSetOf, guideTones, notesOf } from './tones.ts';

const guides = (text: string): string => guideTones(chordOf(text)).map(nameOf).join(' ');

describe('the notes of a chord', () => {
  it('spells every note by its degree', () => {
    expect(notesIn('C7#9')).toBe('C E G Bb D#');
    expect(notesIn('Cdim7')).toBe('C Eb Gb Bbb');
    expect(notesIn('G#maj7#5')).toBe('G# B# D## F##');
    expect(notesIn('Ebm7b5')).toBe('Eb Gb Bbb Db');
    expect(notesIn('F#13#11')).toBe('F# A# C# E G# B# D#');
  });

  it('puts a bass first and names it once', () => {
    expect(notesIn('C/E')).toBe('E C G');
    expect(notesIn('D/C')).toBe('C D F# A');
    expect(notesIn('Am7/G')).toBe('G A C E');
  });

  it('has none in no chord', () => {
    expect(notesOf(harmonyOf('N.C.'))).toEqual([]);
    expect(chromaSetOf(harmonyOf('N.C.'))).toBe(0);
  });

  it('names third and seventh as guide tones, or what stands for them', () => {
    expect(guides('C7alt')).toBe('E Bb');
    expect(guides('Dm7')).toBe('F C');
    expect(guides('G7sus4')).toBe('C F');
    expect(guides('C6')).toBe('E A');
    expect(guides('Bdim7')).toBe('D Ab');
    expect(guides('Fm')).toBe('Ab C');
    expect(guides('C11')).toBe('Bb F');
    expect(guides('D5')).toBe('A');
  });
});

describe('building chords in code', () => {
  it('builds from any spelling and drops a bass that is the root', () => {
    expect(symbolOf(chord(-2, 'maj7'))).toBe('Bbmaj7');
    expect(symbolOf(chord(0, '-7', 1))).toBe('Cm7/G');
    expect(chord(0, '7', 0).bass).toBeNull();
    expect(qualityOf('ø')).toBe(qualityOf('m7b5'));
  });

  it('throws on a suffix that is none, or that would change the root', () => {
    expect(() => chord(0, 'x')).toThrow('x');
    expect(() => qualityOf('b9')).toThrow('b9');
    expect(() => qualityOf('7/E')).toThrow('7/E');
    expect(() => chord(0.5, '7')).toThrow('0.5');
  });
});
