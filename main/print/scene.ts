import type { Segment } from './path.ts';

/**
 * A page as flat drawing instructions in points, origin top left, y down: what both the SVG preview
 * and the PDF are written from, so that they cannot differ.
 */

/** The faces a chart is set in; see `fonts.ts`. */
export type Face = 'regular' | 'semibold' | 'bold' | 'italic' | 'signs';

/** Text in one face on one baseline. */
export interface TextItem {
  readonly kind: 'text';
  readonly face: Face;
  /** Points. */
  readonly size: number;
  readonly text: string;
  /** Left end of the baseline. */
  readonly x: number;
  readonly y: number;
}

/** An engraved sign: an outline shared by all its uses. */
export interface GlyphItem {
  readonly kind: 'glyph';
  /** Key into {@link Scene.glyphs}. */
  readonly glyph: string;
  readonly x: number;
  readonly y: number;
  /** Points a font unit. */
  readonly scale: number;
}

/** A filled or stroked outline in page coordinates. */
export interface PathItem {
  readonly kind: 'path';
  readonly segments: readonly Segment[];
  readonly fill: boolean;
  /** Line width; 0 for none. */
  readonly stroke: number;
  /** Dash and gap lengths; empty for a full line. */
  readonly dash?: readonly number[];
}

/** Things that belong together and are read out as one: a chord symbol. */
export interface GroupItem {
  readonly kind: 'group';
  /** What it says, with real accidental signs. */
  readonly label: string;
  readonly items: readonly TextItem[];
}

export type Item = TextItem | GlyphItem | PathItem | GroupItem;

/** One page. */
export interface Page {
  /** Points. */
  readonly width: number;
  readonly height: number;
  readonly items: readonly Item[];
  /** Places to jump to: block headings and rehearsal marks. */
  readonly marks: readonly { readonly label: string; readonly y: number }[];
}

/** A finished chart. */
export interface Scene {
  readonly title: string;
  readonly pages: readonly Page[];
  /** Outlines of engraved signs, y up, in font units. */
  readonly glyphs: Readonly<Record<string, string>>;
}
