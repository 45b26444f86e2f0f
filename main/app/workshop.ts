import { ok } from '../../shared-core/result.ts';
import type { Tune } from '../../shared-core/tune/model.ts';
import { knowTune } from './tune-text.ts';
import type { SoundInput, Works } from './works.ts';

/** The makers of charts and sound as they are. Heavy modules are loaded at their first use. */
export const WORKSHOP: Works = {
  chartSvg: () => notYet(),
  chartPdf: () => notYet(),
  chartMusicXml: () => notYet(),
  bookPdf: () => notYet(),
  sheetPdf: () => notYet(),
  midi,
  readTunes: async (_name, bytes) => {
    const known = knowTune(new TextDecoder().decode(bytes));
    return known.ok ? ok({ tunes: [known.value.tune] as readonly Tune[], warnings: [] }) : known;
  },
  inspect: async () => [],
};

function notYet(): never {
  throw new Error('Charts are not printed yet');
}

async function midi({ tune, analysis, state, band, without }: SoundInput): Promise<Uint8Array> {
  const { perform } = await import('../../shared-core/performance/perform.ts');
  const { midiBytes } = await import('../../shared-core/performance/midi.ts');
  const options = without === null ? {} : { without };
  const { chorus, key } = analysis;
  return midiBytes(perform({ tune, chorus, key, state, band, options }));
}
