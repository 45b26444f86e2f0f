import { afterAll, describe, expect, it } from 'vitest';
import { importFile } from '../../main/interchange/index.ts';
import { bookToPdf, closePrinter } from '../../main/print/index.ts';
import type { Realisation } from '../../shared-core/arrangement/model.ts';
import { realise } from '../../shared-core/arrangement/realise.ts';
import { soloistOf } from '../../shared-core/arrangement/soloist-of.ts';
import { NO_CHORD } from '../../shared-core/chord/build.ts';
import { formatHarmony, symbolOf } from '../../shared-core/chord/format.ts';
import type { Harmony } from '../../shared-core/chord/model.ts';
import { chromaSetOf } from '../../shared-core/chord/tones.ts';
import { partToMusicXml } from '../../shared-core/notation/musicxml.ts';
import { buildPart } from '../../shared-core/parts/build.ts';
import type { Part } from '../../shared-core/parts/model.ts';
import { printedMeasures } from '../../shared-core/parts/printed.ts';
import { concertLine, unrollPart } from '../../shared-core/parts/unroll.ts';
import { instrumentById } from '../../shared-core/pitch/instruments.ts';
import { midiOf } from '../../shared-core/pitch/spelled.ts';
import type { TimedHarmony } from '../../shared-core/tune/model.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';
import { readPdf } from '../support/pdf.ts';
import { SAMPLE_BAND, type Sample, sample, sampleNames } from '../support/samples.ts';
import { musicXmlFaults } from '../support/schema.ts';

afterAll(() => closePrinter());

function partsOf(known: Sample): readonly Part[] {
  return SAMPLE_BAND.chairs.map((chair) => buildPart({ ...known, chair, band: SAMPLE_BAND }));
}

/** What sounds when, neighbours that sound the same joined. */
function heard(line: readonly TimedHarmony[]): readonly string[] {
  let last = '';
  return line.flatMap(({ start, harmony }) => {
    const sound =
      harmony.kind === 'none' ? 'N.C.' : `${chromaSetOf(harmony)} ${harmony.quality.suffix}`;
    if (sound === last) return [];
    last = sound;
    return [`${start}: ${sound}`];
  });
}

/**
 * What of a line a part must show: everything for the rhythm section; for a soloist the choruses that are
 * its own, and a silence in those of others.
 */
function onChart(
  part: Part,
  { analysis }: Sample,
  real: Realisation,
  line: readonly TimedHarmony[],
  silence: readonly Harmony[],
): readonly TimedHarmony[] {
  if (part.role !== 'soloist') return line;
  const melody = analysis.chorus.melody.length > 0;
  return real.choruses.flatMap((plan): readonly TimedHarmony[] => {
    const owner = soloistOf(plan, real.choruses, SAMPLE_BAND, melody);
    const start = plan.order * real.chorusLength;
    const length = real.chorusLength;
    if (owner !== null && owner !== part.chairId)
      return silence.map((harmony) => ({ start, length, harmony }));
    return line
      .filter((event) => event.start < start + length && event.start + event.length > start)
      .map((event) => ({ ...event, start: Math.max(event.start, start) }));
  });
}

describe.each(sampleNames())('the charts of %s', (name) => {
  const known = sample(name);
  const parts = partsOf(known);
  const real = realise(known.analysis.chorus, known.state);

  it('give back exactly the arrangement when followed as printed', () => {
    for (const part of parts) {
      const shown = (line: readonly TimedHarmony[]): readonly string[] =>
        heard(onChart(part, known, real, line, []));
      if (part.role !== 'drums') expect(heard(concertLine(part, 'band'))).toEqual(shown(real.band));
      if (part.role === 'soloist')
        expect(heard(concertLine(part, 'solo'))).toEqual(shown(real.solo));
    }
  });

  it('keep the leader’s spelling for every chair at concert pitch', () => {
    // A chord that goes on may be said again on the chart.
    const spelledOut = (line: readonly TimedHarmony[]): readonly string[] =>
      line
        .map(({ harmony }) => symbolOf(harmony))
        .filter((symbol, at, all) => symbol !== all[at - 1]);
    for (const part of parts.filter((each) => each.role === 'comping' || each.role === 'bass'))
      expect(spelledOut(concertLine(part, 'band'))).toEqual(spelledOut(real.band));
  });

  it('keep soloists inside their comfortable range', () => {
    for (const part of parts.filter(({ role }) => role === 'soloist')) {
      const range = instrumentById(part.reading.instrument).comfortable;
      const notes = unrollPart(part)
        .filter(({ measure }) => measure.solo !== null)
        .flatMap(({ measure }) => measure.events)
        .flatMap((event) => (event.kind === 'note' ? event.pitches.map(midiOf) : []));
      for (const note of notes) {
        expect(note).toBeGreaterThanOrEqual(range ? midiOf(range.low) : 0);
        expect(note).toBeLessThanOrEqual(range ? midiOf(range.high) : 0);
      }
    }
  });

  it('are valid MusicXML', async () => {
    const documents = parts.map((part) => ({
      name: `${name}-${part.chairId}.musicxml`,
      xml: partToMusicXml(part, { mode: 'exchange' }),
    }));
    expect(await musicXmlFaults(documents)).toEqual([]);
  });

  it('are imported again to the same bars, chords and key at concert pitch', async () => {
    for (const part of parts.filter(({ role }) => role !== 'drums')) {
      const xml = new TextEncoder().encode(partToMusicXml(part, { mode: 'exchange' }));
      const read = await importFile(`${name}.musicxml`, xml);
      if (!read.ok) throw new Error(JSON.stringify(read.error));
      const [tune] = read.value.tunes;
      const chorus = tune && unroll(tune);
      if (!chorus?.ok) throw new Error(`${name}: not a form`);
      expect(chorus.value.bars).toHaveLength(part.chorusBars * part.choruses);
      expect(tune?.key).toEqual(known.analysis.key);
      // The soloist's changes over the band's come back as chords in brackets.
      const plain = chorus.value.harmony.filter(
        ({ harmony }) => harmony.kind === 'none' || !harmony.optional,
      );
      expect(heard(plain)).toEqual(heard(onChart(part, known, real, real.band, [NO_CHORD])));
    }
  });

  it('carry every chord symbol into the PDF, flats and sharps included', async () => {
    const { pages } = await readPdf(await bookToPdf(parts, { title: name }));
    const found = new Set(pages.flatMap((page) => page.symbols));
    for (const { measure } of parts.flatMap((part) => printedMeasures(part)))
      for (const { harmony } of [...measure.band, ...(measure.solo ?? [])]) {
        const symbol = formatHarmony(harmony, { style: 'words', accidentals: 'glyph' });
        expect(found).toContain(symbol.replaceAll(/[()]/gu, ''));
      }
    for (const page of pages)
      for (const { x, y, width } of page.texts) {
        expect(Math.min(x, y)).toBeGreaterThan(28.3);
        expect(x + width).toBeLessThan(page.width - 28.3);
      }
  });
});
