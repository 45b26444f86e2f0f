import type { CheckFinding } from '../../shared-core/contract/types.ts';
import { buildPart, type PartOptions } from '../../shared-core/parts/build.ts';
import type { Part } from '../../shared-core/parts/model.ts';
import { err } from '../../shared-core/result.ts';
import type { PrintOptions } from '../print/index.ts';
import type { ChartInput, SoundInput, Works } from './works.ts';

/** The makers of charts and sound as they are. Heavy modules are loaded at their first use. */
export const WORKSHOP: Works = {
  async chartSvg(input) {
    const { partToSvg } = await import('../print/index.ts');
    return partToSvg(partOf(input), printOptions(input));
  },
  async chartPdf(input) {
    const { partToPdf } = await import('../print/index.ts');
    return partToPdf(partOf(input), printOptions(input));
  },
  async chartMusicXml(input) {
    const { partToMusicXml } = await import('../../shared-core/notation/musicxml.ts');
    return partToMusicXml(partOf(input), { mode: 'exchange' });
  },
  async bookPdf(title, inputs) {
    const { bookToPdf } = await import('../print/index.ts');
    const [first] = inputs;
    return bookToPdf(inputs.map(partOf), { title, ...(first ? printOptions(first) : {}) });
  },
  async sheetPdf(sheet, paper) {
    const { setSheetToPdf } = await import('../print/index.ts');
    return setSheetToPdf(sheet, { paper });
  },
  midi,
  async readTunes(name, bytes, signal) {
    const { importFile } = await import('../interchange/index.ts');
    const read = await importFile(name, bytes, signal);
    if (read.ok) return read;
    const { code, message, line, bar } = read.error;
    const place = {
      ...(line === undefined ? {} : { line }),
      ...(bar === undefined ? {} : { bar }),
    };
    return err({ code, message, place });
  },
  inspect,
};

function partOf(input: ChartInput): Part {
  const { layout, concert, voicings, walkingLine, exampleLine, paper, large } = input.options;
  const options: PartOptions = {
    version: input.version,
    date: input.date,
    ...(layout === undefined ? {} : { layout }),
    ...(concert === undefined ? {} : { concert }),
    ...(voicings === undefined ? {} : { voicings }),
    ...(walkingLine === undefined ? {} : { walkingLine }),
    ...(exampleLine === undefined ? {} : { exampleLine }),
    ...(paper === undefined ? {} : { paper }),
    ...(large === undefined ? {} : { large }),
  };
  return buildPart({ ...input, options });
}

function printOptions({ chair, options }: ChartInput): PrintOptions {
  const { paper, style, large } = options;
  return {
    ...(paper === undefined ? {} : { paper }),
    ...(style === undefined ? {} : { style }),
    ...(large === undefined ? {} : { large }),
    leftHanded: chair.strings?.leftHanded ?? false,
  };
}

async function midi({ tune, analysis, state, band, options }: SoundInput): Promise<Uint8Array> {
  const { perform } = await import('../../shared-core/performance/perform.ts');
  const { midiBytes } = await import('../../shared-core/performance/midi.ts');
  const { chorus, key } = analysis;
  return midiBytes(perform({ tune, chorus, key, state, band, options }));
}

/** Fonts that lack a sign our charts need are an error: a missing flat is the worst fault a chart can have. */
async function inspect(): Promise<readonly CheckFinding[]> {
  const { inspectPrinter } = await import('../print/inspect.ts');
  const { engraver, fonts, missing } = await inspectPrinter();
  if (missing.length > 0) {
    return missing.map((sign) => ({
      level: 'error',
      subject: 'fonts',
      message: `No outline for ${sign}.`,
    }));
  }
  const names = [...new Set(fonts.map(({ name }) => name))].join(', ');
  return [{ level: 'fine', subject: 'fonts', message: `${names} have every sign; ${engraver}.` }];
}
