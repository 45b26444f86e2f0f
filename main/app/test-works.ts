import { ok } from '../../shared-core/result.ts';
import { knowTune } from './tune-text.ts';
import type { Works } from './works.ts';

/** Makers for tests of the use cases: quick, and what they make says what it was made of. */
export function testWorks(): Works {
  const bytes = (text: string) => new TextEncoder().encode(text);
  return {
    chartSvg: async ({ chair }) => [`<svg>${chair.name}</svg>`],
    chartPdf: async ({ chair, version }) => {
      if (chair.name === 'Broken') throw new Error('the chair is broken');
      return bytes(`pdf of ${chair.name}, ${version}`);
    },
    chartMusicXml: async ({ chair }) => `<score-partwise>${chair.name}</score-partwise>`,
    bookPdf: async (title, inputs) => bytes(`${title}: ${inputs.length} charts`),
    sheetPdf: async (sheet) => bytes(`${sheet.title} ${sheet.total}`),
    midi: async ({ options }) => bytes(`midi ${JSON.stringify(options)}`),
    readTunes: async (name, file) => {
      const known = knowTune(new TextDecoder().decode(file));
      if (!known.ok)
        return {
          ok: false,
          error: { ...known.error, place: { ...known.error.place, file: name } },
        };
      return ok({ tunes: [known.value.tune], warnings: [] });
    },
    inspect: async () => [],
  };
}
