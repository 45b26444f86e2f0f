import PDFDocument from 'pdfkit';
import { boundsOf, pdfPath, readPath, round } from './path.ts';
import { PdfFonts } from './pdf-fonts.ts';
import type { GlyphItem, GroupItem, Item, PathItem, Scene, TextItem } from './scene.ts';

/** What a PDF says about itself. */
export interface PdfInfo {
  readonly title: string;
  readonly author: string;
  readonly subject: string;
  /** Fixed by the caller, so that the same chart gives the same bytes; null leaves the epoch. */
  readonly date: Date | null;
}

/** A chart of a PDF with its place in the outline. */
export interface PdfChart {
  readonly scene: Scene;
  readonly bookmark: string;
}

type PdfDocument = InstanceType<typeof PDFDocument>;

/** pdfkit's own objects that its types leave out: named resources of a page, and raw content. */
interface PdfPage {
  readonly fonts: Record<string, unknown>;
  readonly xobjects: Record<string, unknown>;
}

/**
 * Writes charts into one PDF: fonts embedded as subsets, engraved signs as shared forms, one bookmark
 * a chart with its section marks under it. Call {@link add} for each chart, then {@link bytes}: what
 * is added is written at once, so a book of any length keeps little in memory.
 */
export class PdfWriter {
  readonly #document: PdfDocument;
  readonly #chunks: Buffer[] = [];
  readonly #forms = new Map<string, { readonly name: string; readonly reference: unknown }>();
  readonly #done: Promise<void>;
  readonly #fonts: PdfFonts;

  constructor(info: PdfInfo) {
    this.#document = new PDFDocument({
      autoFirstPage: false,
      margin: 0,
      pdfVersion: '1.7',
      lang: 'en',
      displayTitle: true,
      info: {
        Title: info.title,
        Author: info.author,
        Subject: info.subject,
        Creator: 'Changewright',
        Producer: 'Changewright',
        CreationDate: info.date ?? new Date(0),
      },
    });
    this.#fonts = new PdfFonts(this.#document);
    this.#document.on('data', (chunk: Buffer) => this.#chunks.push(chunk));
    this.#done = new Promise((resolve, reject) => {
      this.#document.on('end', resolve);
      this.#document.on('error', reject);
    });
  }

  /** Adds a chart's pages and its bookmarks. */
  add({ scene, bookmark }: PdfChart): void {
    const outline = { item: null as ReturnType<PdfDocument['outline']['addItem']> | null };
    this.#fonts.prepare(scene.pages.flatMap((page) => page.items.flatMap(textsOf)));
    for (const page of scene.pages) {
      this.#document.addPage({ size: [page.width, page.height], margin: 0 });
      outline.item ??= this.#document.outline.addItem(bookmark, { expanded: false });
      for (const mark of page.marks) if (mark.label.length > 2) outline.item.addItem(mark.label);
      for (const item of page.items) this.#draw(scene, item);
    }
  }

  /** Finishes the file. */
  async bytes(): Promise<Uint8Array> {
    this.#document.end();
    await this.#done;
    return new Uint8Array(Buffer.concat(this.#chunks));
  }

  #draw(scene: Scene, item: Item): void {
    switch (item.kind) {
      case 'text':
        this.#text(item);
        return;
      case 'group':
        this.#group(item);
        return;
      case 'glyph':
        this.#glyph(scene, item);
        return;
      case 'path':
        this.#path(item);
        return;
    }
  }

  #text(item: TextItem): void {
    this.#raw(`BT ${this.#textContent(item)} ET`);
  }

  /** A chord symbol is one text object with its whole text beside it, for readers that keep words whole. */
  #group({ label, items }: GroupItem): void {
    const content = items.map((item) => this.#textContent(item)).join(' ');
    this.#raw(`/Span <</ActualText <${utf16(label)}>>> BDC BT ${content} ET EMC`);
  }

  #textContent(item: TextItem): string {
    const { content, fonts } = this.#fonts.draw(item);
    const page = this.#document.page as unknown as PdfPage;
    for (const [name, reference] of fonts) page.fonts[name] = reference;
    return content;
  }

  #path({ segments, fill, stroke, dash }: PathItem): void {
    const paint = fill ? (stroke > 0 ? 'B' : 'f') : 'S';
    const dashes = dash && dash.length > 0 ? `[${dash.map(round).join(' ')}] 0 d ` : '';
    this.#raw(`q ${round(stroke)} w ${dashes}${pdfPath(segments)} ${paint} Q`);
  }

  #glyph(scene: Scene, item: GlyphItem): void {
    const form = this.#form(item.glyph, scene.glyphs[item.glyph]);
    (this.#document.page as unknown as PdfPage).xobjects[form.name] = form.reference;
    const scale = item.scale.toFixed(6);
    this.#raw(`q ${scale} 0 0 -${scale} ${round(item.x)} ${round(item.y)} cm /${form.name} Do Q`);
  }

  /** The outline of an engraved sign as a form that every use refers to. */
  #form(glyph: string, data: string | undefined): { name: string; reference: unknown } {
    const known = this.#forms.get(glyph);
    if (known) return known;
    if (data === undefined) throw new Error(`The chart uses a glyph ${glyph} without an outline`);
    const segments = readPath(data);
    const bounds = boundsOf(segments);
    const reference = this.#document.ref({
      Type: 'XObject',
      Subtype: 'Form',
      FormType: 1,
      BBox: [bounds.minX, bounds.minY, bounds.maxX, bounds.maxY],
      Resources: {},
    });
    reference.end(Buffer.from(`${pdfPath(segments)} f`, 'latin1'));
    const made = { name: `G${glyph}`, reference };
    this.#forms.set(glyph, made);
    return made;
  }

  #raw(content: string): void {
    (this.#document as unknown as { addContent(data: string): void }).addContent(content);
  }
}

function textsOf(item: Item): readonly TextItem[] {
  if (item.kind === 'text') return [item];
  return item.kind === 'group' ? item.items : [];
}

/** Big-endian UTF-16 with its mark, as hexadecimal. */
function utf16(text: string): string {
  const units = Array.from({ length: text.length }, (_, index) =>
    text.charCodeAt(index).toString(16).padStart(4, '0'),
  );
  return `feff${units.join('')}`;
}
