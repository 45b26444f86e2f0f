import { VerovioToolkit } from 'verovio/esm';
import createVerovioModule from 'verovio/wasm';

/** One loaded engraver. Memory grows with each toolkit, so a thread keeps one for all its charts. */
let toolkit: Promise<VerovioToolkit> | null = null;

/** What the engraver said of its own accord: notes for programmers, never shown to a player. */
const remarks: string[] = [];
/** So many of the latest are kept. */
const KEPT = 50;

function loadToolkit(): Promise<VerovioToolkit> {
  const note = (line: string): void => {
    if (line.trim() !== '') remarks.push(line);
    if (remarks.length > KEPT) remarks.shift();
  };
  toolkit ??= createVerovioModule({ print: note, printErr: note }).then(
    (module) => new VerovioToolkit(module),
  );
  return toolkit;
}

/** The engraver's latest remarks in this thread; none as long as it is given what it wants. */
export function engraverRemarks(): readonly string[] {
  return remarks;
}

/**
 * Engraves MusicXML on pages as tall as the engraver allows (six metres), with lines where the document
 * asks for them, and gives their SVG back: one as a rule, more for a very long chart.
 *
 * @param width tenths of a millimetre between the margins, at the engraver's own staff size (7.2 mm)
 */
export async function engrave(musicXml: string, width: number): Promise<readonly string[]> {
  const engraver = await loadToolkit();
  engraver.setOptions({
    inputFrom: 'xml',
    breaks: 'encoded',
    pageWidth: Math.round(width),
    pageHeight: 60000,
    adjustPageHeight: true,
    header: 'none',
    footer: 'none',
    pageMarginLeft: 0,
    pageMarginRight: 0,
    pageMarginTop: 0,
    pageMarginBottom: 0,
    svgViewBox: true,
    svgFormatRaw: true,
    fontTextLiberation: true,
    smuflTextFont: 'none',
    font: 'Bravura',
    xmlIdSeed: 1,
    mnumInterval: 0,
    minLastJustification: 0,
    spacingLinear: 0.25,
    spacingNonLinear: 0.6,
  });
  if (!engraver.loadData(musicXml)) throw new Error('The engraver could not read the chart');
  return Array.from({ length: engraver.getPageCount() }, (_, page) =>
    engraver.renderToSVG(page + 1),
  );
}

/** Version of the engraver. */
export async function engraverVersion(): Promise<string> {
  return (await loadToolkit()).getVersion();
}
