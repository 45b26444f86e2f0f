import { describe, expect, it } from 'vitest';
import { arrangementOf, partOf, type TestPlacement, tuneOf } from '../../tests/support/parts.ts';
import type { Part } from './model.ts';
import { printedMeasures } from './printed.ts';
import { jumpWords } from './road.ts';
import { unrollPart } from './unroll.ts';

const TUNE = tuneOf(
  [
    'title: Twelve',
    'key: F major',
    'meter: 4/4',
    '',
    '[A]',
    '| F7 | Bb7 | F7 | F7 | Bb7 | Bb7 | F7 | D7 | Gm7 | C7 | F7 | C7 |',
  ].join('\n'),
);

function band(chorus: number, bar: number, ...changes: [number, string][]): TestPlacement {
  return { chorus, layer: 'band', bar, changes };
}

function shape(part: Part): unknown {
  return {
    blocks: part.blocks.map((block) => ({
      choruses: block.choruses,
      bars: block.measures.length,
      strips: block.strips.map((strip) => [strip.choruses, strip.from + 1, strip.measures.length]),
    })),
    jump: part.jump && [part.jump.kind, part.jump.al, part.jump.block, part.jump.coda.length],
  };
}

function chart(
  choruses: number,
  placements: TestPlacement[],
  layout?: 'compact' | 'written-out',
): Part {
  const labels = Array.from({ length: choruses }, () => null);
  return partOf(TUNE, arrangementOf(TUNE, labels, placements), 'guitar', layout ? { layout } : {});
}

describe('the shortest honest chart', () => {
  it('writes choruses that are alike once and says how often', () => {
    const part = chart(4, []);
    expect(shape(part)).toEqual({
      blocks: [{ choruses: [1, 2, 3, 4], bars: 12, strips: [] }],
      jump: null,
    });
    expect(part.blocks[0]?.heading).toBe('Choruses 1–4 · 4x');
    expect(part.blocks[0]?.measures[0]?.repeatStart).toBe(true);
    expect(part.blocks[0]?.measures.at(-1)?.repeatEnd).toBe(4);
  });

  it('gives last bars that differ as numbered endings', () => {
    const part = chart(2, [band(2, 11, [4, 'F6'], [4, 'F6'])]);
    expect(shape(part)).toEqual({
      blocks: [{ choruses: [1, 2], bars: 14, strips: [] }],
      jump: null,
    });
    expect(part.blocks[0]?.measures.slice(10).map((measure) => measure.endings)).toEqual([
      [1],
      [1],
      [2],
      [2],
    ]);
  });

  it('gives one other place as changes over the bar, where the staff has only slashes', () => {
    const part = chart(3, [band(2, 4, [4, 'Cm7'])]);
    expect(shape(part)).toEqual({
      blocks: [{ choruses: [1, 2, 3], bars: 12, strips: [[[2], 4, 1]] }],
      jump: null,
    });
    expect(part.blocks[0]?.strips[0]?.place).toBe('over');
    expect(part.blocks[0]?.measures[3]?.directions).toEqual([]);
    expect(printedMeasures(part)).toHaveLength(12);
  });

  it('gives it as a bar below, and points at it, where the staff says more than the changes', () => {
    const pushed = chart(3, [band(2, 4, [2.5, 'F7'], [1.5, 'Cm7'])]);
    expect(pushed.blocks[0]?.strips.map(({ place, from }) => [place, from + 1])).toEqual([
      ['below', 4],
    ]);
    expect(pushed.blocks[0]?.measures[3]?.directions).toEqual([
      { at: 0, words: 'see below', choruses: [2] },
    ]);
    expect(printedMeasures(pushed)).toHaveLength(13);
  });

  it('lets more strips in only where they save a page', () => {
    const other = (chorus: number): TestPlacement[] =>
      [2, 6, 9].map((bar) => band(chorus, bar, [4, chorus % 2 ? 'Bbm6' : 'Bdim7']));
    const short = chart(3, [...other(2), ...other(3)]);
    expect(short.blocks.map(({ strips }) => strips.length)).toEqual([0, 0, 0]);
    const long = chart(7, [2, 3, 4, 5, 6].flatMap(other));
    expect(long.blocks.map(({ choruses }) => choruses)).toEqual([[1, 2, 3, 4, 5, 6, 7]]);
    expect(long.blocks[0]?.strips.map(({ choruses, from }) => [choruses, from + 1])).toEqual(
      [
        [2, 4, 6],
        [3, 5],
      ].flatMap((choruses) => [2, 6, 9].map((bar) => [choruses, bar])),
    );
  });

  it('never goes back for a chorus that has other cues', () => {
    const cue = { layer: 'soloist', bar: 3, changes: [[4, 'Bbm6']] } as const;
    const state = arrangementOf(TUNE, [null, null], [{ ...cue, chorus: 2 }] as TestPlacement[]);
    const cued = unrollPart(partOf(TUNE, state, 'guitar')).filter(
      ({ measure }) => measure.cues.length > 0,
    );
    expect(cued.map(({ chorus, bar }) => [chorus, bar])).toEqual([[2, 2]]);
  });

  it('writes a chorus out when it differs in more than an ending', () => {
    const part = chart(2, [
      band(2, 2, [4, 'Bbm6']),
      band(2, 6, [4, 'Bdim7']),
      band(2, 9, [4, 'Db7']),
    ]);
    expect(shape(part)).toEqual({
      blocks: [
        { choruses: [1], bars: 12, strips: [] },
        { choruses: [2], bars: 12, strips: [] },
      ],
      jump: null,
    });
  });

  it('goes back for the last chorus with one jump and no more', () => {
    const other = [2, 4, 6, 8, 9].map((bar) => band(2, bar, [4, 'Bdim7']));
    const part = chart(3, other);
    expect(shape(part)).toMatchObject({ jump: ['D.C.', 'fine', 0, 0] });
    expect(part.blocks[0]?.heading).toContain('last time');
    const longer = chart(5, [...other, ...other.map((row) => ({ ...row, chorus: 4 }))]);
    expect(longer.blocks.map((block) => block.choruses)).toEqual([[1], [2], [3], [4]]);
    expect(longer.jump).toMatchObject({ kind: 'D.C.', al: 'fine' });
  });

  it('takes the repeats of a folded chorus again when it goes back to it', () => {
    const known = tuneOf(
      'title: S\nkey: C major\nmeter: 4/4\nform: A A B A\n\n[A]\n| C | Am7 | Dm7 | G7 |\n[B]\n| F | Fm | C | G7 |\n',
    );
    const other = [1, 3, 5, 7, 9, 11, 13].map((bar) => band(2, bar, [4, 'Bdim7']));
    const part = partOf(known, arrangementOf(known, [null, null, null], other), 'guitar');
    expect(part.blocks.map(({ measures }) => measures.length)).toEqual([12, 12]);
    expect(part.jump && jumpWords(part.jump)).toBe('D.C. al Fine (with repeats)');
    const last = unrollPart(part).filter(({ chorus }) => chorus === 3);
    expect(last.map(({ bar }) => bar)).toEqual(Array.from({ length: 16 }, (_, bar) => bar));
    expect(
      last
        .map(({ measure }) => measure.rehearsal)
        .filter(Boolean)
        .join(''),
    ).toBe('AABA');
  });

  it('ends on a coda when the last chorus ends in its own way', () => {
    const part = chart(3, [
      band(2, 2, [4, 'Bbm6']),
      band(2, 6, [4, 'Bdim7']),
      band(2, 9, [4, 'Db7']),
      band(3, 11, [4, 'F6'], [4, 'F6']),
    ]);
    expect(shape(part)).toMatchObject({ jump: ['D.C.', 'coda', 0, 2] });
  });

  it('writes everything out when asked', () => {
    const part = chart(3, [], 'written-out');
    expect(part.blocks.map((block) => [block.choruses, block.measures.length])).toEqual([
      [[1], 12],
      [[2], 12],
      [[3], 12],
    ]);
  });

  it('prints like sections of one chorus once, with their endings', () => {
    const known = tuneOf(
      'title: S\nkey: C major\nmeter: 4/4\nform: A A2 B A\n\n[A]\n| C | Am7 | Dm7 | G7 |\n[A2]\n| C | Am7 | Dm7 | G7 |\n[B]\n| F | Fm | C | G7 |\n',
    );
    const text =
      'title: S\nkey: C major\nmeter: 4/4\n\n[A]\n|: C | Am7 | Dm7 |1. G7 :|2. C |\n[B]\n| F | Fm | C | G7 |\n';
    expect(
      partOf(known, arrangementOf(known, ['Head']), 'guitar').blocks[0]?.measures,
    ).toHaveLength(16);
    const folded = tuneOf(text);
    const part = partOf(folded, arrangementOf(folded, ['Head']), 'guitar');
    expect(part.blocks[0]?.measures.length).toBeLessThanOrEqual(9);
  });
});
