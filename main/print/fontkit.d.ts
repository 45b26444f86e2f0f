/** The part of fontkit this project uses; the package ships no types. */
declare module 'fontkit' {
  export interface Glyph {
    readonly id: number;
    readonly advanceWidth: number;
    readonly codePoints: readonly number[];
    readonly path: { toSVG(): string };
  }
  export interface GlyphRun {
    readonly glyphs: readonly Glyph[];
    readonly positions: readonly {
      readonly xAdvance: number;
      readonly xOffset: number;
      readonly yOffset: number;
    }[];
  }
  export interface Subset {
    /** Number of the glyph in the subset. */
    includeGlyph(id: number): number;
    encode(): Uint8Array;
    /** Present when the outlines are cubic. */
    readonly cff?: object;
  }
  export interface Font {
    readonly unitsPerEm: number;
    readonly capHeight: number;
    readonly ascent: number;
    readonly descent: number;
    readonly italicAngle: number;
    readonly postscriptName: string;
    readonly bbox: { minX: number; minY: number; maxX: number; maxY: number };
    layout(text: string, features?: Readonly<Record<string, boolean>>): GlyphRun;
    getGlyph(id: number): Glyph;
    hasGlyphForCodePoint(codePoint: number): boolean;
    glyphForCodePoint(codePoint: number): Glyph;
    createSubset(): Subset;
  }
  export function create(bytes: Uint8Array): Font;
}
