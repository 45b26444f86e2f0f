import { describe, expect, it } from 'vitest';
import { chordMessage } from './messages.ts';
import { parseChord } from './parse.ts';

function messageFor(text: string): string {
  const read = parseChord(text);
  if (read.ok) throw new Error(`${text} was read`);
  return chordMessage(read.error);
}

describe('the sentence for a symbol that was not read', () => {
  it('tells what to write instead of the German H and of small letters', () => {
    expect(messageFor('H7')).toContain('B for the German H');
    expect(messageFor('am7')).toContain('capital');
    expect(messageFor('?')).toContain('A to G');
  });

  it('quotes the part that was not understood', () => {
    expect(messageFor('Cm7x')).toContain('"x"');
    expect(messageFor('C7(b9')).toContain('bracket is open');
    expect(messageFor('C/Dm7')).toContain('after the slash');
    expect(messageFor('C9(b9)')).toContain('cannot both be');
    expect(messageFor('')).toContain('N.C.');
    expect(messageFor('C'.repeat(70))).toContain('64');
  });
});
