import { describe, expect, it } from 'vitest';
import { arrangementOf, BAND, partOf, tuneOf } from '../../tests/support/parts.ts';
import type { Chair } from '../arrangement/band.ts';
import type { KeptLine } from '../arrangement/model.ts';
import { type Pitch, parsePitch, pitchName } from '../pitch/spelled.ts';
import { buildPart } from './build.ts';
import type { Part } from './model.ts';
import { unrollPart } from './unroll.ts';

const TUNE = tuneOf('title: Kept\nkey: Bb major\nmeter: 4/4\n\n| Bbmaj7 | Bbmaj7 | Cm7 | F7 |\n');

/** The minor four over a held home chord: its third (Gb) tells, and falls to the fifth of home (F). */
const STATE = arrangementOf(
  TUNE,
  [null, null],
  [
    {
      ...{ chorus: 2, layer: 'soloist', bar: 1 },
      changes: [
        [2, 'Bbmaj7'],
        [2, 'Ebm6'],
        [4, 'Bbmaj7'],
      ],
      ...{ tells: -6, home: -1 },
    },
  ],
);

function pitch(text: string): Pitch {
  const read = parsePitch(text);
  if (!read) throw new Error(`${text} is no pitch`);
  return read;
}

/** A line of quarters from the top of chorus 2. */
function lineFor(chair: string, pitches: readonly string[]): KeptLine {
  return {
    ...{
      id: 'line',
      chair,
      chorus: Object.values(STATE.choruses).find(({ order }) => order === 1)?.id ?? '',
    },
    ...{ start: 0, length: pitches.length * 960, degree: 'medium', seed: 1 },
    notes: pitches.map((text, at) => ({ start: at * 960, length: 960, pitch: pitch(text) })),
  };
}

function marked(part: Part): string[] {
  return unrollPart(part)
    .filter(({ chorus }) => chorus === 2)
    .flatMap(({ bar, measure }) =>
      measure.events.flatMap((event) => {
        const name = event.kind === 'note' ? pitchName(event.pitches[0] as Pitch) : event.kind;
        const mark = event.kind === 'note' ? event.mark : null;
        return bar < 2 ? [mark ? `${name} ${mark}` : name] : [];
      }),
    );
}

describe('a line kept for a chair', () => {
  it('has the note that tells and the one that brings it home marked, each once', () => {
    const pitches = ['F4', 'Gb4', 'Gb4', 'Eb4', 'D4', 'F4', 'F4', 'Bb4'];
    const line = lineFor('trombone', pitches);
    const part = partOf(TUNE, { ...STATE, lines: { line } }, 'trombone');
    // The Gb before the rewrite begins does not tell, nor does the second F bring it home again.
    expect(marked(part)).toEqual(['F4', 'Gb4', 'Gb4 tells', 'Eb4', 'D4', 'F4 home', 'F4', 'Bb4']);
  });

  it('has no marks where its notes do not tell the story', () => {
    const line = lineFor('trombone', ['F4', 'F4', 'Eb4', 'Bb3', 'D4', 'D4', 'D4', 'D4']);
    const part = partOf(TUNE, { ...STATE, lines: { line } }, 'trombone');
    expect(marked(part).filter((note) => note.includes(' '))).toEqual([]);
  });

  it('is printed for a soloist whose instrument has no range of its own, slashes elsewhere', () => {
    const chair: Chair = {
      ...{ id: 'kit', name: 'Solo drums', instrument: 'drums' },
      ...{ role: 'soloist', order: 9 },
    };
    const line = lineFor('kit', ['F4', 'Gb4', 'Eb4', 'F4']);
    const band = { ...BAND, chairs: [...BAND.chairs, chair] };
    const part = buildPart({ ...TUNE, state: { ...STATE, lines: { line } }, chair, band });
    expect(marked(part).slice(0, 5)).toEqual(['F4', 'Gb4', 'Eb4', 'F4', 'slash']);
  });
});
