import { beforeEach, describe, expect, it } from 'vitest';
import type { KeptLine } from '../../shared-core/arrangement/model.ts';
import { freshStorage } from '../common/test-storage.ts';
import { sameNotes, useLines } from './line-store.ts';

function line(seed: number): KeptLine {
  const notes = [{ start: 0, length: 480, pitch: { pc: seed, octave: 4 } }];
  return {
    id: 'l1',
    chorus: 'c1',
    chair: 'tenor',
    start: 0,
    length: 3840,
    degree: 'plain',
    seed,
    notes,
  };
}

const lineNow = () => useLines.getState().drafts.get('k')?.line.seed;

describe('a line on the desk', () => {
  beforeEach(() => {
    freshStorage();
    useLines.setState({ drafts: new Map() });
  });

  it('can be gone back with, shape by shape', () => {
    const { write, back } = useLines.getState();
    write('k', line(1), null);
    write('k', line(2), line(1));
    write('k', line(3), line(2));
    back('k');
    expect(lineNow()).toBe(2);
    back('k');
    expect(lineNow()).toBe(1);
    back('k');
    expect(lineNow()).toBeUndefined();
  });

  it('is taken up again another day, unless one is on the desk', () => {
    const { write, restore, putAway } = useLines.getState();
    write('k', line(2), line(1));
    useLines.setState({ drafts: new Map() });
    restore('k');
    expect(lineNow()).toBe(2);
    write('k', line(3), line(2));
    restore('k');
    expect(lineNow()).toBe(3);
    putAway('k');
    restore('k');
    expect(lineNow()).toBeUndefined();
  });

  it('leaves the lines of other chairs alone', () => {
    useLines.getState().write('k', line(1), null);
    useLines.getState().write('other', line(5), null);
    useLines.getState().putAway('other');
    expect(lineNow()).toBe(1);
  });

  it('is the same as another only when every note is, spelling too', () => {
    expect(sameNotes(line(-3).notes, line(-3).notes)).toBe(true);
    expect(sameNotes(line(-3).notes, line(9).notes)).toBe(false);
    expect(sameNotes(line(1).notes, [])).toBe(false);
  });
});
