import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Reads PDFs back with pdf.js, a library that has no part in writing them. */

/** One piece of text on a page. Points, origin bottom left. */
export interface PdfText {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly size: number;
}

/** A page as read. */
export interface PdfPageRead {
  readonly width: number;
  readonly height: number;
  readonly texts: readonly PdfText[];
  /** Chord symbols: each marked span of text, whole. */
  readonly symbols: readonly string[];
  /** All text with the spaces a reader would copy. */
  readonly copied: string;
}

/** A file as read. */
export interface PdfRead {
  readonly pages: readonly PdfPageRead[];
  readonly title: string;
  readonly author: string;
  readonly bookmarks: readonly { readonly title: string; readonly items: readonly string[] }[];
}

/** Reads a PDF's text, metadata and bookmarks. */
export async function readPdf(bytes: Uint8Array): Promise<PdfRead> {
  const { getDocument } = await import('pdfjs-dist/legacy/build/pdf.mjs');
  const task = getDocument({ data: bytes.slice(), verbosity: 0, useSystemFonts: false });
  const document = await task.promise;
  const pages: PdfPageRead[] = [];
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number);
    const content = await page.getTextContent({ includeMarkedContent: true });
    pages.push({ ...sizeOf(page.view), ...textsOf(content.items as readonly RawItem[]) });
  }
  const { info } = await document.getMetadata();
  const facts = info as { readonly Title?: string; readonly Author?: string };
  const outline = ((await document.getOutline()) ?? []) as readonly RawOutline[];
  await task.destroy();
  return {
    pages,
    title: facts.Title ?? '',
    author: facts.Author ?? '',
    bookmarks: outline.map(({ title, items }) => ({
      title,
      items: items.map((item) => item.title),
    })),
  };
}

interface RawOutline {
  readonly title: string;
  readonly items: readonly RawOutline[];
}

interface RawItem {
  readonly type?: string;
  readonly str?: string;
  readonly transform?: readonly number[];
  readonly width?: number;
  readonly hasEOL?: boolean;
}

function sizeOf(view: readonly number[]): { width: number; height: number } {
  return { width: view[2] ?? 0, height: view[3] ?? 0 };
}

function textsOf(items: readonly RawItem[]): Omit<PdfPageRead, 'width' | 'height'> {
  const texts: PdfText[] = [];
  const symbols: string[] = [];
  let open: string | null = null;
  let copied = '';
  for (const item of items) {
    if (item.type?.startsWith('beginMarkedContent')) open = '';
    else if (item.type === 'endMarkedContent') {
      if (open !== null) symbols.push(open);
      open = null;
    } else if (item.str !== undefined) {
      if (open !== null) open += item.str.trim() === '' ? '' : item.str;
      copied += item.str + (item.hasEOL ? '\n' : '');
      const [, , skew = 0, size = 0, x = 0, y = 0] = item.transform ?? [];
      if (item.str.trim() !== '')
        texts.push({ text: item.str, x, y, width: item.width ?? 0, size: Math.hypot(skew, size) });
    }
  }
  return { texts, symbols, copied };
}

/** Whether poppler's tools are on this machine. */
export function hasPoppler(): boolean {
  try {
    execFileSync('pdftotext', ['-v'], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
}

/** What another reader (poppler) copies out of a PDF, and the fonts it finds. */
export function readWithPoppler(bytes: Uint8Array): {
  readonly text: string;
  readonly fonts: readonly string[];
} {
  return withFile(bytes, (file) => ({
    text: execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' }),
    fonts: execFileSync('pdffonts', [file], { encoding: 'utf8' }).trim().split('\n').slice(2),
  }));
}

/** Distance in millimetres from each edge of the paper to the nearest ink, page by page, as poppler draws it. */
export function inkMargins(bytes: Uint8Array): readonly {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}[] {
  const dpi = 50.8; // two pixels a millimetre
  return withFile(bytes, (file, folder) => {
    execFileSync('pdftoppm', ['-r', String(dpi), '-gray', file, join(folder, 'page')]);
    const names = execFileSync('ls', [folder], { encoding: 'utf8' })
      .split('\n')
      .filter((name) => name.endsWith('.pgm'));
    return names.map((name) => marginsOf(readFileSync(join(folder, name))));
  });
}

function marginsOf(image: Buffer): { left: number; right: number; top: number; bottom: number } {
  const head = /^P5\s+(\d+)\s+(\d+)\s+(\d+)\s/u.exec(image.subarray(0, 40).toString('latin1'));
  if (!head) throw new Error('Not a greymap');
  const [width, height] = [Number(head[1]), Number(head[2])];
  const pixels = image.subarray(head[0].length);
  const bounds = { left: width, right: width, top: height, bottom: height };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      if ((pixels[y * width + x] ?? 255) > 200) continue;
      bounds.left = Math.min(bounds.left, x);
      bounds.right = Math.min(bounds.right, width - 1 - x);
      bounds.top = Math.min(bounds.top, y);
      bounds.bottom = Math.min(bounds.bottom, height - 1 - y);
    }
  }
  return {
    left: bounds.left / 2,
    right: bounds.right / 2,
    top: bounds.top / 2,
    bottom: bounds.bottom / 2,
  };
}

function withFile<T>(bytes: Uint8Array, use: (file: string, folder: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), 'changewright-pdf-'));
  try {
    const file = join(folder, 'chart.pdf');
    writeFileSync(file, bytes);
    return use(file, folder);
  } finally {
    rmSync(folder, { recursive: true });
  }
}
