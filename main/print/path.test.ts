import { describe, expect, it } from 'vitest';
import { boundsOf, mapPath, pdfPath, readPath, writePath } from './path.ts';

describe('path data', () => {
  it('reads relative, shorthand and quadratic commands as absolute lines and cubics', () => {
    expect(writePath(readPath('m10 10l5 0h5v5H0V0z'))).toBe('M10 10L15 10L20 10L20 15L0 15L0 0Z');
    expect(writePath(readPath('M0 0c0 10 10 10 10 0s10 -10 10 0'))).toBe(
      'M0 0C0 10 10 10 10 0C10 -10 20 -10 20 0',
    );
    expect(writePath(readPath('M0 0Q3 3 6 0T12 0'))).toBe('M0 0C2 2 4 2 6 0C8 -2 10 -2 12 0');
  });

  it('goes on from the start of a closed path, and draws lines after a move', () => {
    expect(writePath(readPath('M5 5 10 5 10 10zl1 1'))).toBe('M5 5L10 5L10 10ZL6 6');
    expect(writePath(readPath('m1-2.5.5.5'))).toBe('M1 -2.5L1.5 -2');
  });

  it('refuses what it does not know, so that nothing on a chart can go missing', () => {
    expect(() => readPath('M0 0A5 5 0 0 1 10 10')).toThrow('Path command A');
    expect(() => readPath('M0 0L5')).toThrow('ends inside L');
  });

  it('moves, scales and measures', () => {
    const mapped = mapPath(readPath('M0 0L10 20'), { a: 2, d: -1, e: 5, f: 7 });
    expect(writePath(mapped)).toBe('M5 7L25 -13');
    expect(boundsOf(mapped)).toEqual({ minX: 5, minY: -13, maxX: 25, maxY: 7 });
  });

  it('writes PDF operators', () => {
    expect(pdfPath(readPath('M0 0C1 2 3 4 5 6L7 8Z'))).toBe('0 0 m 1 2 3 4 5 6 c 7 8 l h');
  });
});
