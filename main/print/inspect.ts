import { FACES, fontOf, hasGlyph } from './fonts.ts';
import type { Face } from './scene.ts';

/** What the printer is made of, and what it lacks. */
export interface PrinterReport {
  readonly engraver: string;
  readonly fonts: readonly { readonly face: Face; readonly name: string }[];
  /** Signs a chart needs that no font has; empty when all is well. */
  readonly missing: readonly string[];
}

/** Signs every chart may need, a face. */
const NEEDED: Readonly<Record<Face, string>> = {
  regular: 'AZaz09/()°ø△+−·–…→',
  semibold: 'AZaz09/()°ø△+−',
  bold: 'AZaz09·–',
  italic: 'AZaz09:(),°ø△+−',
  signs: '♭♮♯𝄫𝄪♩𝄋𝄌',
};

/** Loads the engraver and every font and reports versions and missing signs. */
export async function inspectPrinter(): Promise<PrinterReport> {
  const { engraverVersion } = await import('./engraver.ts');
  return {
    engraver: `verovio ${await engraverVersion()}`,
    fonts: FACES.map((face) => ({ face, name: fontOf(face).postscriptName })),
    missing: FACES.flatMap((face) =>
      [...NEEDED[face]].filter((sign) => !hasGlyph(face, sign)).map((sign) => `${sign} in ${face}`),
    ),
  };
}
