import { closePrinter, partToPdf, partToSvg } from '../../main/print/index.ts';
import { buildPart } from '../../shared-core/parts/build.ts';
import { SAMPLE_BAND, sample } from '../support/samples.ts';
import type { Bench } from './measure.ts';
import { samplePart } from './print.ts';

const known = sample('lantern-street');
const chair = SAMPLE_BAND.chairs.find(({ id }) => id === 'tenor');

const benches: readonly Bench[] = [
  {
    name: 'build a soloist part of five choruses of 32 bars',
    budget: 20,
    run: () => chair && buildPart({ ...known, chair, band: SAMPLE_BAND }),
  },
  {
    name: 'one chart from its part to PDF',
    budget: 150,
    run: () => partToPdf(samplePart('salt-on-the-rail', 'guitar')),
  },
  {
    name: 'one chart from its part to SVG',
    budget: 150,
    run: () => partToSvg(samplePart('salt-on-the-rail', 'guitar')),
    after: () => closePrinter(),
  },
];

export default benches;
