import { describe, expect, it } from 'vitest';
import type { Chair } from '../../shared-core/arrangement/band.ts';
import { type Key, keyName, parseKey } from '../../shared-core/pitch/key.ts';
import { midiOf, type Pitch, parsePitch, pitchName } from '../../shared-core/pitch/spelled.ts';
import { lineView, nearestOf, onStep, readsOtherwise } from './line-view.ts';

function key(text: string): Key {
  const read = parseKey(text);
  if (!read) throw new Error(text);
  return read;
}

function pitch(text: string): Pitch {
  const read = parsePitch(text);
  if (!read) throw new Error(text);
  return read;
}

function chair(instrument: string): Chair {
  return { id: 'x', name: 'Someone', instrument, role: 'soloist', order: 0 };
}

// Transpositions: tests/reference/transposition.json.
describe('a line on the desk', () => {
  it.each([
    ['tenor-sax', 'Bb major', 'D4', 'E5', 'C major'],
    ['alto-sax', 'C major', 'E4', 'C#5', 'A major'],
    ['trumpet-bb', 'Eb major', 'G4', 'A4', 'F major'],
    ['guitar', 'G major', 'B3', 'B4', 'G major'],
    ['flute', 'G major', 'B4', 'B4', 'G major'],
  ])('of a %s in %s shows %s as %s', (instrument, concert, sounding, written, writtenKey) => {
    const view = lineView(chair(instrument), key(concert), false);
    expect(pitchName(view.show(pitch(sounding)))).toBe(written);
    expect(pitchName(view.sound(pitch(written)))).toBe(sounding);
    expect(keyName(view.key)).toBe(writtenKey);
  });

  it('sounds the same whatever way it is looked at', () => {
    for (const instrument of ['tenor-sax', 'alto-sax', 'guitar', 'trombone'])
      for (const name of ['C#4', 'Db4', 'F#4', 'Bb3', 'B4']) {
        const view = lineView(chair(instrument), key('E major'), false);
        expect(midiOf(view.sound(view.show(pitch(name))))).toBe(midiOf(pitch(name)));
      }
  });

  it('asks for a switch only where reading and sounding differ', () => {
    expect(readsOtherwise(chair('tenor-sax'), key('C major'))).toBe(true);
    expect(readsOtherwise(chair('guitar'), key('C major'))).toBe(true);
    expect(readsOtherwise(chair('flute'), key('C major'))).toBe(false);
  });
});

describe('a note written in by its letter', () => {
  it.each([
    ['F', 'G4', 'D major', 'F#4'],
    ['B', 'C4', 'F major', 'Bb3'],
    ['C', 'B4', 'C major', 'C5'],
    ['A', 'C5', 'Eb major', 'Ab4'],
    ['E', 'E4', 'A minor', 'E4'],
  ] as const)('%s beside %s in %s is %s', (letter, near, of, found) => {
    expect(pitchName(nearestOf(letter, pitch(near), key(of)))).toBe(found);
  });

  it('has the sign of the key on every step', () => {
    // E4 is the bottom line of the treble staff, step 30.
    expect(pitchName(onStep(30, key('C major')))).toBe('E4');
    expect(pitchName(onStep(31, key('G major')))).toBe('F#4');
    expect(pitchName(onStep(28, key('Db major')))).toBe('C4');
    expect(pitchName(onStep(34, key('Db major')))).toBe('Bb4');
  });
});
