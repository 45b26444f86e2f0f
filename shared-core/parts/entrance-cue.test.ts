import { describe, expect, it } from 'vitest';
import { arrangementOf, partOf, tuneOf } from '../../tests/support/parts.ts';
import { partToMusicXml } from '../notation/musicxml.ts';
import { pitchName } from '../pitch/spelled.ts';
import type { PartMeasure } from './model.ts';
import { printedMeasures } from './printed.ts';
import { unrollPart } from './unroll.ts';

const TUNE = tuneOf(
  'title: T\nkey: C\nmeter: 4/4\n\n| Cmaj7 | Dm7 | G7 | Cmaj7 |\nmelody: | whole E5 | whole F5 | half D5 half B4 | whole C5 |',
);

const notes = ({ events }: PartMeasure): string[] =>
  events.map((event) =>
    event.kind === 'note' && event.pitches[0]
      ? `${pitchName(event.pitches[0])} ${event.weight}`
      : event.kind,
  );

describe('the cue before an entrance', () => {
  const part = partOf(TUNE, arrangementOf(TUNE, ['Head', 'Alto solo', 'Tenor solo']), 'alto');

  it('is the end of the melody in small notes, as this chair reads it, where the melody is heard', () => {
    // Written for alto, a major sixth above: D B C is B G# A.
    const [rest] = part.blocks;
    expect(rest).toMatchObject({ rests: true, cue: { words: 'Head ends' } });
    expect(rest?.cue?.measures.map(notes)).toEqual([['B5 line', 'G#5 line'], ['A5 line']]);
    expect(printedMeasures(part).filter(({ place }) => place === 'cue')).toHaveLength(2);
  });

  it('is the changes where a solo is heard, and nothing where no entrance follows', () => {
    const [, solo, last] = part.blocks;
    expect(solo?.cue).toBeNull();
    expect(last).toMatchObject({ rests: true, cue: null });
    const tenor = partOf(TUNE, arrangementOf(TUNE, ['Alto solo', 'Tenor solo']), 'tenor');
    expect(tenor.blocks[0]?.cue).toMatchObject({ words: 'Alto solo ends', measures: [] });
  });

  it('is not played: neither counted on the chart nor a bar of the MusicXML', () => {
    expect(unrollPart(part).map(({ chorus, rests }) => [chorus, rests])).toEqual(
      [1, 2, 3].flatMap((chorus) => Array.from({ length: 4 }, () => [chorus, chorus !== 2])),
    );
    expect(partToMusicXml(part, { mode: 'exchange' }).split('<measure ').length - 1).toBe(12);
  });
});
