import { performance } from 'node:perf_hooks';
import { bookToPdf, closePrinter, partToPdf } from '../../main/print/index.ts';
import { buildPart } from '../../shared-core/parts/build.ts';
import type { Part } from '../../shared-core/parts/model.ts';
import { SAMPLE_BAND, sample, sampleNames } from '../support/samples.ts';

/** A measured figure and what it should be. */
export interface PrintFigure {
  readonly name: string;
  readonly figure: number;
  readonly unit: string;
  readonly goal: string;
}

/** The part of one chair of a sample tune, five choruses. */
export function samplePart(name: string, chair: string): Part {
  const found = SAMPLE_BAND.chairs.find(({ id }) => id === chair);
  if (!found) throw new Error(`No chair ${chair}`);
  return buildPart({ ...sample(name), chair: found, band: SAMPLE_BAND });
}

/** A gig: every sample tune twice over, for every chair of the sample band: 180 charts. */
export function gigParts(): readonly Part[] {
  const samples = sampleNames().map(sample);
  return [0, 1].flatMap(() =>
    samples.flatMap((known) =>
      SAMPLE_BAND.chairs.map((chair) => buildPart({ ...known, chair, band: SAMPLE_BAND })),
    ),
  );
}

async function median(run: () => Promise<unknown>): Promise<number> {
  const times: number[] = [];
  for (let round = 0; round < 9; round++) {
    const start = performance.now();
    await run();
    times.push(performance.now() - start);
  }
  return times.sort((a, b) => a - b)[4] ?? Number.NaN;
}

/** Measures charts and a gig book. The first chart pays for starting the thread and is measured apart. */
export async function benchPrint(): Promise<readonly PrintFigure[]> {
  const one = samplePart('salt-on-the-rail', 'guitar');
  const four = samplePart('lantern-street', 'tenor');
  const cold = performance.now();
  await partToPdf(one);
  const first = performance.now() - cold;
  const warm = await median(() => partToPdf(one));
  const long = await median(() => partToPdf(four));
  const parts = gigParts();
  const start = performance.now();
  await bookToPdf(parts, { title: 'Gig' });
  const book = (performance.now() - start) / 1000;
  const memory = process.memoryUsage().rss / 2 ** 20;
  await closePrinter();
  return [
    { name: 'first chart to PDF, printer starting', figure: first, unit: 'ms', goal: '' },
    { name: 'one-page chart to PDF, warm', figure: warm, unit: 'ms', goal: 'under 150' },
    { name: 'five written-out choruses to PDF, warm', figure: long, unit: 'ms', goal: '' },
    { name: `gig book of ${parts.length} charts`, figure: book, unit: 's', goal: 'under 45' },
    { name: 'memory after the gig book', figure: memory, unit: 'MB', goal: 'under 600' },
  ];
}
