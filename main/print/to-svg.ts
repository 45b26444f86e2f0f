import { escapeXml } from '../../shared-core/notation/xml.ts';
import { fontOf, outlineOf, shape } from './fonts.ts';
import { readPath, round, writePath } from './path.ts';
import type { GlyphItem, Item, Page, PathItem, Scene, TextItem } from './scene.ts';

/**
 * Writes each page as an SVG that needs nothing else: letters and signs are outlines, defined once a
 * page. A chord symbol is a group that says its own name.
 */
export function toSvg(scene: Scene): string[] {
  return scene.pages.map((page, index) => new PageWriter(scene, page, index).write());
}

class PageWriter {
  readonly #scene: Scene;
  readonly #page: Page;
  readonly #index: number;
  readonly #definitions = new Map<string, string>();

  constructor(scene: Scene, page: Page, index: number) {
    this.#scene = scene;
    this.#page = page;
    this.#index = index;
  }

  write(): string {
    const { width, height, items } = this.#page;
    const body = items.map((item) => this.#item(item)).join('');
    const title = `${this.#scene.title}, page ${this.#index + 1} of ${this.#scene.pages.length}`;
    const size = `width="${round(width)}pt" height="${round(height)}pt"`;
    return [
      `<svg xmlns="http://www.w3.org/2000/svg" ${size} viewBox="0 0 ${round(width)} ${round(height)}" role="img" aria-label="${escapeXml(title)}">`,
      `<title>${escapeXml(title)}</title>`,
      `<defs>${[...this.#definitions.values()].join('')}</defs>`,
      `<rect width="100%" height="100%" fill="white"/><g fill="black" stroke="none">${body}</g></svg>`,
    ].join('');
  }

  #item(item: Item): string {
    switch (item.kind) {
      case 'text':
        return this.#text(item);
      case 'group':
        return `<g aria-label="${escapeXml(item.label)}">${item.items.map((inner) => this.#text(inner)).join('')}</g>`;
      case 'glyph':
        return this.#glyph(item);
      case 'path':
        return this.#path(item);
    }
  }

  #glyph({ glyph, x, y, scale }: GlyphItem): string {
    const id = this.#define(`m${glyph}`, () => this.#scene.glyphs[glyph] ?? '');
    return use(id, x, y, scale);
  }

  #path({ segments, fill, stroke, dash }: PathItem): string {
    const paint = fill ? '' : ' fill="none"';
    const line = stroke > 0 ? ` stroke="black" stroke-width="${round(stroke)}"` : '';
    const dashes =
      dash && dash.length > 0 ? ` stroke-dasharray="${dash.map(round).join(' ')}"` : '';
    return `<path d="${writePath(segments)}"${paint}${line}${dashes}/>`;
  }

  #text({ face, size, text, x, y }: TextItem): string {
    const scale = size / fontOf(face).unitsPerEm;
    let pen = x;
    return shape(face, text)
      .glyphs.map((glyph) => {
        const at = pen;
        pen += glyph.advance * scale;
        const outline = outlineOf(face, glyph.id);
        if (outline === '') return '';
        return use(
          this.#define(`${face}${glyph.id}`, () => outline),
          at,
          y,
          scale,
        );
      })
      .join('');
  }

  #define(id: string, outline: () => string): string {
    if (!this.#definitions.has(id))
      this.#definitions.set(id, `<path id="${id}" d="${writePath(readPath(outline()))}"/>`);
    return id;
  }
}

function use(id: string, x: number, y: number, scale: number): string {
  const size = Math.round(scale * 1e6) / 1e6;
  return `<use href="#${id}" transform="translate(${round(x)} ${round(y)}) scale(${size} ${-size})"/>`;
}
