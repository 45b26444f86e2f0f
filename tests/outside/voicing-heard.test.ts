import { describe, expect, it } from 'vitest';
import { buildPart } from '../../shared-core/parts/build.ts';
import { performComping } from '../../shared-core/performance/comping.ts';
import { stageOf } from '../../shared-core/performance/stage.ts';
import { midiOf } from '../../shared-core/pitch/spelled.ts';
import { SAMPLE_BAND, sample, sampleNames } from '../support/samples.ts';

// What a player sees and hears must be one and the same (common practice, no source).

const COMPERS = SAMPLE_BAND.chairs.filter(({ role }) => role === 'comping');
const CASES = sampleNames().flatMap((name) =>
  COMPERS.map((chair) => [name, chair.name, chair] as const),
);

/** Every shape printed on a chart, as sounding notes: fret diagrams, or chords on a piano's two staves. */
function printedShapes(name: string, chair: (typeof COMPERS)[number]): Set<string> {
  const { tune, analysis, state } = sample(name);
  const options = { voicings: true, layout: 'written-out' } as const;
  const part = buildPart({ tune, analysis, state, chair, band: SAMPLE_BAND, options });
  const shapes = part.blocks
    .flatMap((block) => block.measures)
    .flatMap(({ voicings, events }) => [
      ...voicings.map(({ voicing }) => voicing.pitches),
      ...events.flatMap((event) => (event.kind === 'note' ? [event.pitches] : [])),
    ]);
  return new Set(shapes.map((pitches) => pitches.map(midiOf).join(' ')));
}

/** Every chord struck where a change is written, as sounding notes. */
function struckAtChanges(name: string, chair: (typeof COMPERS)[number]): string[] {
  const { tune, analysis, state } = sample(name);
  const { chorus, key } = analysis;
  const stage = stageOf({ tune, chorus, key, state, band: SAMPLE_BAND });
  const notes = performComping(chair, stage);
  return stage.changes.flatMap(({ start }) => {
    const struck = notes.filter((note) => note.start === start).map(({ midi }) => midi);
    return struck.length > 0 ? [struck.sort((a, b) => a - b).join(' ')] : [];
  });
}

describe('the shapes on a chart are the shapes that sound', () => {
  it.each(CASES)('in %s, for %s', (name, _, chair) => {
    const printed = printedShapes(name, chair);
    const struck = struckAtChanges(name, chair);
    expect(struck.length).toBeGreaterThan(0);
    expect(struck.filter((shape) => !printed.has(shape))).toEqual([]);
  });
});
