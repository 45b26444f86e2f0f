import { afterAll, describe, expect, it } from 'vitest';
import { arrangementOf, partOf, tuneOf } from '../../tests/support/parts.ts';
import { fretDiagram } from './fret-diagram.ts';
import { closePrinter, partToSvg } from './index.ts';
import type { Item } from './scene.ts';

afterAll(() => closePrinter());

/** C9 without a fifth and with its root: from the lowest string, not played, 3, 2, 3, 3, not played. */
const SHAPE = [null, 3, 2, 3, 3, null];
const LEFT = 100;

/** Where fingers go: string (0 at the left) and row of the grid. */
function dots(items: readonly Item[]): string[] {
  return items.flatMap((item) => {
    if (item.kind !== 'path' || !item.fill) return [];
    const start = item.segments[0];
    if (start?.op !== 'M') return [];
    const [x, y] = start.points;
    return [`${Math.round((x + 2.2 - LEFT) / 5)}:${Math.ceil((y - 170.4) / 7.4)}`];
  });
}

describe('a fret diagram', () => {
  it('has the string given first at the left, a dot for every finger', () => {
    expect(dots(fretDiagram(SHAPE, LEFT, 200, 1))).toEqual(['1:3', '2:2', '3:3', '4:3']);
  });

  it('is mirrored for a left-handed player, strings and crosses alike', () => {
    expect(dots(fretDiagram([...SHAPE].reverse(), LEFT, 200, 1))).toEqual([
      '1:3',
      '2:3',
      '3:2',
      '4:3',
    ]);
  });

  it('numbers its first fret where the shape lies above the nut, and only there', () => {
    const labels = (frets: (number | null)[]) =>
      fretDiagram(frets, LEFT, 200, 1).flatMap((item) => (item.kind === 'text' ? [item.text] : []));
    expect(labels([null, null, 5, 5, 6, 5]).join('')).toBe('5');
    expect(labels(SHAPE)).toEqual([]);
  });

  it.each([4, 5, 7])('has one line for each of %s strings', (strings) => {
    const upright = fretDiagram(new Array<null>(strings).fill(null), LEFT, 200, 1).filter(
      (item) =>
        item.kind === 'path' &&
        item.segments.length === 2 &&
        item.segments.every(({ op }, at) => op === (at === 0 ? 'M' : 'L')) &&
        new Set(item.segments.map(({ points }) => points[0])).size === 1,
    );
    expect(upright).toHaveLength(strings);
  });
});

describe('a guitar chart for a left-handed player', () => {
  const tune = tuneOf('title: T\nkey: C\nmeter: 4/4\n[A]\n| Dm7 | G7 | Cmaj7 | C9 |');
  const part = partOf(tune, arrangementOf(tune, ['Head']), 'guitar', { voicings: true });

  it('differs from the other in its diagrams, and is the same when asked for twice', async () => {
    const right = await partToSvg(part, {});
    const left = await partToSvg(part, { leftHanded: true });
    expect(left).not.toEqual(right);
    expect(left).toEqual(await partToSvg(part, { leftHanded: true }));
    expect(right).toEqual(await partToSvg(part, { leftHanded: false }));
  });

  it('changes nothing on a chart without shapes', async () => {
    const plain = partOf(tune, arrangementOf(tune, ['Head']), 'guitar');
    expect(await partToSvg(plain, { leftHanded: true })).toEqual(await partToSvg(plain, {}));
  });
});
