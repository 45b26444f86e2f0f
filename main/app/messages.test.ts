import { describe, expect, it } from 'vitest';
import { libraryMessage } from './messages.ts';

describe('the sentence of a library error', () => {
  it.each([
    ['library/busy', {}, 'Try again in a moment.'],
    ['library/full', {}, 'Make room and try again.'],
    ['library/in-use', { file: 'band.changewright' }, 'go on there, or close it first.'],
    [
      'library/migration',
      { to: 9, detail: 'no room' },
      'Go on with the program that opened it before.',
    ],
    ['library/history-version', { version: 3 }, 'change it by hand instead.'],
  ] as const)('of %s ends with what to do', (code, data, end) => {
    const sentence = libraryMessage({ code, data });
    expect(sentence.slice(-end.length)).toBe(end);
    expect(sentence).not.toContain('undefined');
  });
});
