import { expect, it } from 'vitest';
import { openTune } from '../engine/open-tune.ts';
import { lengthWords, noteWords, pitchSign } from './note-words.ts';

const opened = openTune('title: Bars\nkey: C major\n| C | % | % |\n');
if (!opened.ok) throw new Error(opened.message);
const bar = opened.value.analysis.chorus.bars[2];
if (!bar) throw new Error('no bar');

it('says where a note stands, what it is and how long', () => {
  const at = (start: number, pc: number, length: number) =>
    noteWords({ start: bar.start + start, length, pitch: { pc, octave: 4 } }, bar);
  expect(at(0, -3, 960)).toBe('bar 3, beat 1: E flat 4, quarter');
  expect(at(1440, 6, 480)).toBe('bar 3, after beat 2: F sharp 4, eighth');
  expect(at(2880, 0, 2400)).toBe('bar 3, beat 4: C 4, 5 eighths');
});

it('writes pitches with real signs', () => {
  expect([pitchSign({ pc: -3, octave: 5 }), pitchSign({ pc: 6, octave: 3 })]).toEqual([
    'E♭5',
    'F♯3',
  ]);
  expect(lengthWords(1440)).toBe('dotted quarter');
});
