import { describe, expect, it } from 'vitest';
import { beamsOf } from './beams.ts';

const beams = (notes: readonly (readonly [number, number])[], beat = 960) =>
  notes.map(
    ([at]) =>
      beamsOf(
        notes.map(([place, flags]) => ({ at: place, flags })),
        beat,
      )
        .get(at)
        ?.join('/') ?? '-',
  );

describe('beams', () => {
  it('join flagged notes of one beat and no others', () => {
    expect(
      beams([
        [0, 1],
        [480, 1],
        [960, 1],
        [1440, 0],
        [1920, 0],
      ]),
    ).toEqual(['begin', 'end', '-', '-', '-']);
  });

  it('give a sixteenth beside an eighth a hook on its side', () => {
    expect(
      beams([
        [0, 1],
        [720, 2],
      ]),
    ).toEqual(['begin', 'end/backward hook']);
    expect(
      beams([
        [0, 2],
        [240, 1],
      ]),
    ).toEqual(['begin/forward hook', 'end']);
  });

  it('join by the dotted beat in compound meters', () => {
    expect(
      beams(
        [
          [0, 1],
          [480, 1],
          [960, 1],
          [1440, 1],
        ],
        1440,
      ),
    ).toEqual(['begin', 'continue', 'end', '-']);
  });
});
