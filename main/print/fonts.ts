import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { create, type Font } from 'fontkit';
import type { Face, TextItem } from './scene.ts';

const require = createRequire(import.meta.url);

/** Font files of the faces, all under the SIL Open Font Licence. */
const FILES: Readonly<Record<Face, string>> = {
  regular: 'source-sans/TTF/SourceSans3-Regular.ttf',
  semibold: 'source-sans/TTF/SourceSans3-Semibold.ttf',
  bold: 'source-sans/TTF/SourceSans3-Bold.ttf',
  italic: 'source-sans/TTF/SourceSans3-MediumIt.ttf',
  signs: '@vexflow-fonts/bravuratext/bravuratext.otf',
};

/** All faces, in the order they are embedded. */
export const FACES = Object.keys(FILES) as readonly Face[];

/**
 * Signs the words' family lacks and the music font has: how large they are drawn against the text
 * around them, and how far they are lifted (in ems of that text), so that a flat stands on the
 * baseline and reaches just over the capitals. Measured on the outlines; judged by eye.
 */
const SIGNS: Readonly<Record<string, { readonly scale: number; readonly lift: number }>> = {
  '♭': { scale: 0.8, lift: 0.01 },
  '♮': { scale: 0.8, lift: 0.05 },
  '♯': { scale: 0.78, lift: 0.06 },
  '𝄫': { scale: 1.5, lift: 0.22 },
  '𝄪': { scale: 1.7, lift: 0.32 },
  '♩': { scale: 0.95, lift: 0.02 },
  '𝄋': { scale: 1.6, lift: 0.05 },
  '𝄌': { scale: 1.3, lift: -0.05 },
};

/** One glyph of a shaped text; font units. */
export interface ShapedGlyph {
  readonly id: number;
  /** The character it stands for. */
  readonly text: string;
  /** Advance with kerning. */
  readonly advance: number;
  /** Advance of the bare glyph. */
  readonly width: number;
}

/** A text as glyphs. */
export interface Shaped {
  readonly glyphs: readonly ShapedGlyph[];
  readonly advance: number;
}

/** Signs of the words' own family that are drawn larger than their letters: the major seventh's triangle. */
const OWN: Readonly<Record<string, { readonly scale: number; readonly lift: number }>> = {
  '△': { scale: 1.28, lift: -0.11 },
};

interface LoadedFace {
  readonly font: Font;
  readonly shaped: Map<string, Shaped>;
  readonly outlines: Map<number, string>;
}

const loaded = new Map<Face, LoadedFace>();

function faceOf(face: Face): LoadedFace {
  const known = loaded.get(face);
  if (known) return known;
  const font = create(readFileSync(require.resolve(FILES[face])));
  const made = { font, shaped: new Map(), outlines: new Map() };
  loaded.set(face, made);
  return made;
}

/** The opened face. */
export function fontOf(face: Face): Font {
  return faceOf(face).font;
}

/** Whether a face can draw a character. */
export function hasGlyph(face: Face, character: string): boolean {
  return fontOf(face).hasGlyphForCodePoint(character.codePointAt(0) ?? 0);
}

/** Shaped texts kept a face; the words of a set list's charts fit many times over. */
const KEPT = 4000;

/** Whether our fonts have a character: a sign in the music font, anything else in the face itself. */
export function canDraw(face: Face, character: string): boolean {
  return hasGlyph(SIGNS[character] ? 'signs' : face, character);
}

/** Shapes a text: one glyph a character (no ligatures, so that text copied out stays whole), kerned. */
export function shape(face: Face, text: string): Shaped {
  const { font, shaped } = faceOf(face);
  const known = shaped.get(text);
  if (known) return known;
  const run = font.layout(text, { liga: false, clig: false, dlig: false });
  const glyphs = run.glyphs.map((glyph, index) => ({
    id: glyph.id,
    text: String.fromCodePoint(...glyph.codePoints),
    advance: run.positions[index]?.xAdvance ?? glyph.advanceWidth,
    width: glyph.advanceWidth,
  }));
  const made = { glyphs, advance: glyphs.reduce((sum, glyph) => sum + glyph.advance, 0) };
  if (shaped.size >= KEPT) shaped.clear();
  shaped.set(text, made);
  return made;
}

/** Outline of a glyph as SVG path data, y up, font units; empty for a space. */
export function outlineOf(face: Face, glyph: number): string {
  const { font, outlines } = faceOf(face);
  let outline = outlines.get(glyph);
  if (outline === undefined) {
    outline = font.getGlyph(glyph).path.toSVG();
    outlines.set(glyph, outline);
  }
  return outline;
}

/** Width of text in points, kerned. */
export function widthOf(face: Face, size: number, text: string): number {
  return (shape(face, text).advance * size) / fontOf(face).unitsPerEm;
}

/** Text set in runs, from x = 0 on the baseline y = 0. */
export interface SetText {
  readonly items: readonly TextItem[];
  readonly width: number;
}

/** Drawn for a character no font has: seen at once, and searched for in vain by nobody. */
const UNKNOWN = '□';

/**
 * Sets a line of text: words in `face`, accidentals and note signs in the music font at their own size
 * and height. A character neither font has (a title in a script we carry no font for) shows as a
 * hollow square; in a chord symbol, where every sign counts, use {@link setSymbol}.
 */
export function setText(face: Face, size: number, text: string): SetText {
  return setPieces(face, size, drawable(face, text));
}

/** Sets a piece of a chord symbol. Throws {@link MissingGlyphError}: a missing sign must never pass unseen. */
export function setSymbol(face: Face, size: number, text: string): SetText {
  for (const character of text)
    if (!canDraw(face, character)) throw new MissingGlyphError(character, text);
  return setPieces(face, size, text);
}

/** The text composed (letter and accent in one), on one line, unknown characters as hollow squares. */
function drawable(face: Face, text: string): string {
  const line = text.normalize('NFC').replace(/\s+/gu, ' ');
  let out = '';
  for (const character of line) {
    const invisible = /[\p{Cc}\p{Cf}\p{Mn}]/u.test(character) && !hasGlyph(face, character);
    if (canDraw(face, character)) out += character;
    else if (!invisible) out += UNKNOWN;
  }
  return out;
}

function setPieces(face: Face, size: number, text: string): SetText {
  const items: TextItem[] = [];
  let x = 0;
  for (const piece of text.split(/([♭♮♯♩𝄫𝄪𝄋𝄌△])/u)) {
    if (piece === '') continue;
    const sign = SIGNS[piece];
    if (!sign) {
      const { scale, lift } = OWN[piece] ?? { scale: 1, lift: 0 };
      items.push({ kind: 'text', face, size: size * scale, text: piece, x, y: -lift * size });
      x += widthOf(face, size * scale, piece);
      continue;
    }
    const signSize = size * sign.scale;
    const y = -sign.lift * size;
    items.push({ kind: 'text', face: 'signs', size: signSize, text: piece, x: x + size * 0.02, y });
    x += widthOf('signs', signSize, piece) + size * 0.04;
  }
  return { items, width: x };
}

/** A character that no embedded font can draw. */
export class MissingGlyphError extends Error {
  readonly code = 'print/missing-glyph';
  readonly character: string;
  constructor(character: string, text: string) {
    const point = (character.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0');
    super(
      `No font can draw U+${point} in "${text}". Take the character out of the words on the chart.`,
    );
    this.character = character;
  }
}

/** The same items moved. */
export function moved(items: readonly TextItem[], dx: number, dy: number): TextItem[] {
  return items.map((item) => ({ ...item, x: item.x + dx, y: item.y + dy }));
}
