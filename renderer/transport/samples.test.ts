import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { SAMPLED_INSTRUMENTS, sampleFiles, samplesFor } from './samples.ts';

describe('the sampled instruments', () => {
  it('name only files that ship', () => {
    const missing = SAMPLED_INSTRUMENTS.flatMap((instrument) =>
      Object.values(sampleFiles(instrument)).map(
        (file) => `tonejs-instrument-${instrument.folder}-mp3/${file}`,
      ),
    ).filter((path) => !existsSync(new URL(`../../node_modules/${path}`, import.meta.url)));
    expect(missing).toEqual([]);
  });

  // Program numbers counted from 0, General MIDI 1 instrument list (from memory).
  it.each([
    ['acoustic grand piano', 0, 'piano'],
    ['jazz electric guitar', 26, 'guitar'],
    ['acoustic bass', 32, 'contrabass'],
    ['trumpet', 56, 'trumpet'],
    ['tenor saxophone', 66, 'saxophone'],
    ['clarinet', 71, 'saxophone'],
  ])('give a %s its own or its nearest kin', (_name, program, kin) => {
    expect(samplesFor(program).folder).toContain(kin);
  });

  it('read a sharp in a file name as a sharp', () => {
    expect(sampleFiles(samplesFor(32))['F#1']).toBe('Fs1.mp3');
  });
});
