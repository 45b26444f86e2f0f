import { describe, expect, it } from 'vitest';
import { printedMeasures } from '../../shared-core/parts/printed.ts';
import { arrangementOf, partOf, tuneOf } from '../../tests/support/parts.ts';
import { lineStarts } from './lines.ts';

function starts(bars: readonly string[], widths: readonly number[] | number, room = 400): number[] {
  const text = bars.map((line) => (line.startsWith('[') ? line : `| ${line} |`)).join('\n');
  const known = tuneOf(`title: Lines\nkey: C major\nmeter: 4/4\n\n${text}\n`);
  const part = partOf(known, arrangementOf(known, [null]), 'guitar', { layout: 'written-out' });
  const printed = printedMeasures(part);
  const each = typeof widths === 'number' ? printed.map(() => widths) : widths;
  return [...lineStarts(printed, each, room)];
}

const run = (count: number): string => Array.from({ length: count }, () => 'C').join(' | ');

describe('where lines begin', () => {
  it('puts four bars on a line', () => {
    expect(starts([run(12)], 50)).toEqual([0, 4, 8]);
  });

  it('leaves no bar alone at the end', () => {
    expect(starts([run(5)], 50)).toEqual([0, 3]);
    expect(starts([run(9)], 50)).toEqual([0, 3, 6]);
    expect(starts([run(6)], 50)).toEqual([0, 3]);
  });

  it('starts a section on a new line', () => {
    expect(starts(['[A]', run(3), '[B]', run(4)], 50)).toEqual([0, 3]);
  });

  it('gives crowded bars a line with more room', () => {
    expect(starts([run(4)], [150, 150, 150, 150])).toEqual([0, 2]);
    expect(starts([run(4)], [500, 500, 100, 100])).toEqual([0, 1, 2]);
  });
});

describe('strips below a block', () => {
  const known = tuneOf(
    'title: Strips\nkey: F major\nmeter: 4/4\n\n| F7 | Bb7 | F7 | F7 | Bb7 | Bb7 | F7 | D7 |\n',
  );
  const pushed = (chorus: number, bar: number) => ({
    ...{ chorus, layer: 'band' as const, bar },
    changes: [
      [2.5, 'F7'],
      [1.5, 'Cm7'],
    ] as const,
  });
  const state = arrangementOf(known, [null, null, null], [pushed(2, 4), pushed(3, 7)]);
  const printed = printedMeasures(partOf(known, state, 'guitar', { layout: 'compact' }));
  const linesFor = (width: number): number[] => [
    ...lineStarts(
      printed,
      printed.map(() => width),
      400,
    ),
  ];

  it('share a line where there is room, and have lines of their own where not', () => {
    expect(printed.filter(({ place }) => place === 'strip')).toHaveLength(2);
    expect(linesFor(90)).toEqual([0, 4, 8]);
    expect(linesFor(195)).toEqual([0, 2, 4, 6, 8, 9]);
  });
});
