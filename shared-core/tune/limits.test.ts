import { describe, expect, it } from 'vitest';
import { tuneMessage } from './messages.ts';
import { readTune } from './read.ts';

/** Far longer than a tune; the largest text read is seven times that, and as quickly answered in proportion. */
const LONG = 150_000;

/** A long text made of one piece over and over. */
function full(piece: string, before = ''): string {
  return before + piece.repeat(Math.floor((LONG - before.length) / piece.length));
}

describe('a long text', () => {
  it.each([
    ['bars', full('| C ')],
    ['repeats', full('|: C :|\n')],
    ['repeats left open', full('|: C ')],
    ['endings', full('|1 C :|\n')],
    ['jumps', full('| C D.C. ')],
    ['a form without end', `form: ${'A '.repeat(60_000)}\n[A]\n| C |`],
    ['tokens in one bar', `${full('C ', '| ')}|`.slice(0, LONG)],
    ['brackets', full('(', '| ')],
    ['melody', full('quarter C4~ ', '| C |\nmelody: ')],
    ['head lines', full('key: x\n', '| C |\n')],
  ])(
    'of nothing but %s is answered with a sentence and a place',
    (_name, text) => {
      const { errors } = readTune(text);
      expect(errors.length).toBeGreaterThan(0);
      const first = errors[0];
      expect(first && tuneMessage(first).length).toBeLessThan(300);
    },
    20_000,
  );
});
