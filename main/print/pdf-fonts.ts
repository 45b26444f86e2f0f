import { deflateSync } from 'node:zlib';
import type PDFDocument from 'pdfkit';
import { fontOf, hasGlyph, shape } from './fonts.ts';
import type { Face, TextItem } from './scene.ts';

type PdfDocument = InstanceType<typeof PDFDocument>;

/**
 * Characters every chart may need: Latin with its accents, the punctuation and signs of a chart. The
 * subset with these is cut once a face and embedded in every file, which takes a tenth of the time
 * of cutting a subset for each. A chart with other characters gets its own subset.
 */
const BASE: Readonly<Record<Face, string>> = {
  regular: latin(),
  semibold: latin(),
  bold: latin(),
  italic: latin(),
  signs: '♭♮♯𝄫𝄪♩𝄋𝄌',
};

function latin(): string {
  const range = (from: number, to: number): string =>
    Array.from({ length: to - from + 1 }, (_, index) => String.fromCodePoint(from + index)).join(
      '',
    );
  return `${range(0x20, 0x7e)}${range(0xa1, 0x17f)}–—‘’“”…•−△→½¼□`;
}

interface CutGlyph {
  /** Number in the subset. */
  readonly number: number;
  readonly text: string;
  /** Thousandths of an em. */
  readonly width: number;
}

/** pdfkit writes the object out; there is no stream. */
const NOTHING = null;

/** A cut font: its file and its tables, ready to embed. */
interface CutFont {
  readonly face: Face;
  readonly glyphs: ReadonlyMap<number, CutGlyph>;
  /** The font file, deflated. */
  readonly bytes: Buffer;
  /** The map back from glyph numbers to text, deflated. */
  readonly unicode: Buffer;
  readonly cff: boolean;
}

const baseCuts = new Map<Face, CutFont>();

function baseCut(face: Face): CutFont {
  const known = baseCuts.get(face);
  if (known) return known;
  const font = fontOf(face);
  const named = [...BASE[face]]
    .filter((character) => hasGlyph(face, character))
    .map((text) => ({ id: font.glyphForCodePoint(text.codePointAt(0) ?? 0).id, text }));
  const made = cut(face, named);
  baseCuts.set(face, made);
  return made;
}

/** A glyph of a face and the text it stands for. */
interface NamedGlyph {
  readonly id: number;
  readonly text: string;
}

function cut(face: Face, named: Iterable<NamedGlyph>): CutFont {
  const font = fontOf(face);
  const subset = font.createSubset();
  const glyphs = new Map<number, CutGlyph>();
  for (const { id, text } of named) {
    if (glyphs.has(id)) continue;
    glyphs.set(id, {
      number: subset.includeGlyph(id),
      text,
      width: (font.getGlyph(id).advanceWidth * 1000) / font.unitsPerEm,
    });
  }
  return {
    face,
    glyphs,
    bytes: deflateSync(subset.encode()),
    unicode: deflateSync(Buffer.from(toUnicode(glyphs.values()), 'latin1')),
    cff: subset.cff !== undefined,
  };
}

/** Glyphs of one cut drawn in one go. */
interface Run {
  readonly cut: CutFont;
  readonly glyphs: { readonly number: number; readonly kern: number }[];
  /** Font units. */
  advance: number;
}

/** The fonts of one file: which texts it draws decides which cut of each face it embeds. */
export class PdfFonts {
  readonly #document: PdfDocument;
  readonly #embedded = new Map<CutFont, { readonly name: string; readonly reference: unknown }>();
  /** Characters beyond the base cut, a face. */
  readonly #own = new Map<Face, CutFont>();

  constructor(document: PdfDocument) {
    this.#document = document;
  }

  /** Must be called with every text of a chart before it is drawn: cuts what the base cuts lack. */
  prepare(texts: readonly TextItem[]): void {
    const extra = new Map<Face, NamedGlyph[]>();
    for (const { face, text } of texts) {
      for (const glyph of shape(face, text).glyphs) {
        const held =
          baseCut(face).glyphs.has(glyph.id) || this.#own.get(face)?.glyphs.has(glyph.id);
        if (!held) extra.set(face, [...(extra.get(face) ?? []), glyph]);
      }
    }
    for (const [face, named] of extra) {
      const before = [...(this.#own.get(face)?.glyphs ?? [])].map(([id, { text }]) => ({
        id,
        text,
      }));
      this.#own.set(face, cut(face, [...before, ...named]));
    }
  }

  /** The operators that draw a text, and the fonts the page must name. */
  draw({ face, size, text, x, y }: TextItem): {
    readonly content: string;
    readonly fonts: ReadonlyMap<string, unknown>;
  } {
    const unit = size / fontOf(face).unitsPerEm;
    const fonts = new Map<string, unknown>();
    const parts: string[] = [];
    let pen = x;
    for (const run of this.#runs(face, text)) {
      const { name, reference } = this.#embed(run.cut);
      fonts.set(name, reference);
      const codes = run.glyphs.map(({ number, kern }) => hex(number) + kernText(kern)).join('');
      parts.push(
        `/${name} ${decimal(size)} Tf 1 0 0 -1 ${decimal(pen)} ${decimal(y)} Tm [<${codes}>] TJ`,
      );
      pen += run.advance * unit;
    }
    return { content: parts.join(' '), fonts };
  }

  /** A text broken where the next glyph comes from another cut. */
  #runs(face: Face, text: string): readonly Run[] {
    const perMille = 1000 / fontOf(face).unitsPerEm;
    const runs: Run[] = [];
    for (const glyph of shape(face, text).glyphs) {
      const held = [baseCut(face), this.#own.get(face)].find((each) => each?.glyphs.has(glyph.id));
      const cutGlyph = held?.glyphs.get(glyph.id);
      if (!held || !cutGlyph) throw new Error(`"${glyph.text}" was not prepared for printing`);
      let run = runs.at(-1);
      if (run?.cut !== held) {
        run = { cut: held, glyphs: [], advance: 0 };
        runs.push(run);
      }
      run.glyphs.push({ number: cutGlyph.number, kern: (glyph.width - glyph.advance) * perMille });
      run.advance += glyph.advance;
    }
    return runs;
  }

  #embed(cutFont: CutFont): { name: string; reference: unknown } {
    const known = this.#embedded.get(cutFont);
    if (known) return known;
    const name = `F${this.#embedded.size + 1}`;
    const made = { name, reference: embed(this.#document, cutFont, this.#embedded.size) };
    this.#embedded.set(cutFont, made);
    return made;
  }
}

/** Writes the objects of a composite font (PDF 1.7, 9.7) and gives the font's reference. */
function embed(document: PdfDocument, cutFont: CutFont, ordinal: number): unknown {
  const font = fontOf(cutFont.face);
  const scale = 1000 / font.unitsPerEm;
  const name = `${tag(ordinal)}+${font.postscriptName}`;
  const file = document.ref({
    Filter: 'FlateDecode',
    ...(cutFont.cff ? { Subtype: 'CIDFontType0C' } : {}),
  });
  file.end(cutFont.bytes);
  const { minX, minY, maxX, maxY } = font.bbox;
  const descriptor = document.ref({
    Type: 'FontDescriptor',
    FontName: name,
    Flags: 4,
    FontBBox: [minX * scale, minY * scale, maxX * scale, maxY * scale],
    ItalicAngle: font.italicAngle,
    Ascent: font.ascent * scale,
    Descent: font.descent * scale,
    CapHeight: font.capHeight * scale,
    StemV: 80,
    [cutFont.cff ? 'FontFile3' : 'FontFile2']: file,
  });
  descriptor.end(NOTHING);
  const descendant = document.ref({
    Type: 'Font',
    Subtype: cutFont.cff ? 'CIDFontType0' : 'CIDFontType2',
    BaseFont: name,
    // pdfkit writes String objects as PDF strings and plain strings as names.
    CIDSystemInfo: {
      Registry: new String('Adobe'),
      Ordering: new String('Identity'),
      Supplement: 0,
    },
    FontDescriptor: descriptor,
    W: widths(cutFont),
    ...(cutFont.cff ? {} : { CIDToGIDMap: 'Identity' }),
  });
  descendant.end(NOTHING);
  const unicode = document.ref({ Filter: 'FlateDecode' });
  unicode.end(cutFont.unicode);
  const reference = document.ref({
    Type: 'Font',
    Subtype: 'Type0',
    BaseFont: name,
    Encoding: 'Identity-H',
    DescendantFonts: [descendant],
    ToUnicode: unicode,
  });
  reference.end(NOTHING);
  return reference;
}

/** Six capitals that mark a font as a subset (PDF 1.7, 9.6.4). */
function tag(ordinal: number): string {
  return `CHWR${String.fromCharCode(65 + Math.floor(ordinal / 26), 65 + (ordinal % 26))}`;
}

function widths(cutFont: CutFont): readonly (number | readonly number[])[] {
  const list: number[] = [];
  for (const glyph of cutFont.glyphs.values()) list[glyph.number] = Math.round(glyph.width);
  return [0, Array.from(list, (width) => width ?? 0)];
}

/** The map back from glyph numbers to text, in blocks of a hundred as the format asks. */
function toUnicode(glyphs: Iterable<CutGlyph>): string {
  const lines = [...glyphs].map(({ number, text }) => {
    const units = [...text].flatMap((character) =>
      Array.from({ length: character.length }, (_, index) => hex(character.charCodeAt(index))),
    );
    return `<${hex(number)}> <${units.join('')}>`;
  });
  const blocks: string[] = [];
  for (let at = 0; at < lines.length; at += 100) {
    const block = lines.slice(at, at + 100);
    blocks.push(`${block.length} beginbfchar\n${block.join('\n')}\nendbfchar`);
  }
  return [
    '/CIDInit /ProcSet findresource begin',
    '12 dict begin',
    'begincmap',
    '/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def',
    '/CMapName /Adobe-Identity-UCS def',
    '/CMapType 2 def',
    '1 begincodespacerange',
    '<0000> <ffff>',
    'endcodespacerange',
    ...blocks,
    'endcmap',
    'CMapName currentdict /CMap defineresource pop',
    'end',
    'end',
  ].join('\n');
}

/** A kern between two glyph strings of a TJ array. */
function kernText(kern: number): string {
  return Math.abs(kern) > 0.5 ? `>${Math.round(kern)}<` : '';
}

function hex(value: number): string {
  return value.toString(16).padStart(4, '0');
}

function decimal(value: number): string {
  return String(Math.round(value * 1000) / 1000);
}
