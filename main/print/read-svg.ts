import { SaxesParser, type SaxesTagPlain } from 'saxes';
import { boundsOf, mapPath, readPath, type Segment } from './path.ts';
import type { GlyphItem, PathItem } from './scene.ts';

/** A bar as engraved. Points, on the engraver's one tall page. */
export interface EngravedMeasure {
  /** Ordinal of the printed bar. */
  readonly ordinal: number;
  readonly left: number;
  readonly right: number;
  /** Left ends of its chord symbols, in the order they were written. */
  readonly chords: readonly number[];
  /** Left end of each note, rest or slash, by its number in the bar. */
  readonly events: ReadonlyMap<
    number,
    { readonly x: number; readonly top: number; readonly bottom: number }
  >;
}

/** A line of music as engraved: drawing instructions and the places words are set against. */
export interface EngravedSystem {
  readonly measures: readonly EngravedMeasure[];
  readonly items: readonly (GlyphItem | PathItem)[];
  /** Top and bottom line of the staff. */
  readonly staffTop: number;
  readonly staffBottom: number;
  /** Highest and lowest place of the music itself: notes, ties, figures; clef and signatures aside. */
  readonly musicTop: number;
  readonly musicBottom: number;
  /** Reach of everything drawn. */
  readonly top: number;
  readonly bottom: number;
}

/** What the engraver's page holds. */
export interface Engraved {
  readonly systems: readonly EngravedSystem[];
  /** Outlines by glyph code, y up. */
  readonly glyphs: Readonly<Record<string, string>>;
}

/** Groups whose drawing is ours: words and chord symbols. */
const OURS = new Set(['harm', 'reh', 'dir', 'tempo', 'mNum', 'ending', 'mRptNum']);

/** What stands at the start of a line, whatever is played. */
const FIXED = new Set(['clef', 'keySig', 'meterSig', 'grpSym']);

interface Group {
  readonly classes: string;
  readonly id: string;
  readonly skip: boolean;
}

interface OpenMeasure {
  ordinal: number;
  left: number;
  right: number;
  chords: number[];
  events: Map<number, { x: number; top: number; bottom: number }>;
}

interface OpenSystem {
  measures: OpenMeasure[];
  items: (GlyphItem | PathItem)[];
  lines: Set<number>;
  musicTop: number;
  musicBottom: number;
  top: number;
  bottom: number;
}

/**
 * Reads the engraver's SVG into drawing instructions. `scale` is points an SVG unit. Words and chord
 * symbols are left out (only the places of chords are kept): they are set by us. Padding bars (ids
 * without an ordinal) are left out too. Throws for any element it does not know, so that nothing on a
 * chart can vanish unseen.
 */
export function readEngraving(svg: string, scale: number): Engraved {
  const reader = new EngravingReader(scale);
  const parser = new SaxesParser({ xmlns: false });
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('opentag', (tag) => reader.open(tag));
  parser.on('closetag', (tag) => reader.close(tag.name));
  parser.write(svg).close();
  return reader.result();
}

class EngravingReader {
  readonly #scale: number;
  readonly #groups: Group[] = [];
  readonly #systems: OpenSystem[] = [];
  readonly #glyphs: Record<string, string> = {};
  readonly #shapes = new Map<string, readonly Segment[]>();
  #glyph: string | null = null;
  #inDefs = false;

  constructor(scale: number) {
    this.#scale = scale;
  }

  open(tag: SaxesTagPlain): void {
    const { name, attributes } = tag;
    if (name === 'defs') this.#inDefs = true;
    else if (this.#inDefs) this.#define(name, attributes);
    else if (name === 'g') this.#openGroup(attributes);
    else if (this.#groups.at(-1)?.skip) this.#noteChord(name, attributes);
    else this.#draw(name, attributes);
  }

  close(name: string): void {
    if (name === 'defs') this.#inDefs = false;
    else if (name === 'g' && !this.#inDefs) this.#groups.pop();
  }

  #define(name: string, attributes: Readonly<Record<string, string>>): void {
    if (name === 'g') this.#glyph = codeOf(attributes.id ?? '');
    else if (name === 'path' && this.#glyph) {
      this.#glyphs[this.#glyph] = attributes.d ?? '';
      this.#shapes.set(this.#glyph, readPath(attributes.d ?? ''));
    } else throw new Error(`The engraver defined a ${name}, which is not understood`);
  }

  #openGroup(attributes: Readonly<Record<string, string>>): void {
    const classes = attributes.class ?? '';
    const id = attributes.id ?? '';
    const first = classes.split(' ')[0] ?? '';
    const transform = attributes.transform;
    if (transform && !/^translate\(0,\s*0\)$/u.test(transform))
      throw new Error(`The engraver moved a group: ${transform}`);
    if (first === 'system')
      this.#systems.push({
        measures: [],
        items: [],
        lines: new Set(),
        musicTop: Infinity,
        musicBottom: -Infinity,
        top: Infinity,
        bottom: -Infinity,
      });
    const padding = first === 'measure' && !/^m\d+$/u.test(id);
    if (first === 'measure' && !padding) this.#system.measures.push(openMeasure(id));
    const skip = (this.#groups.at(-1)?.skip ?? false) || OURS.has(first) || padding;
    this.#groups.push({ classes: first, id, skip });
  }

  get #system(): OpenSystem {
    const system = this.#systems.at(-1);
    if (!system) throw new Error('The engraver drew outside a line of music');
    return system;
  }

  /** Inside a group of ours only the place of a chord matters. */
  #noteChord(name: string, attributes: Readonly<Record<string, string>>): void {
    if (name !== 'text' || this.#groups.at(-1)?.classes !== 'harm') return;
    this.#system.measures.at(-1)?.chords.push(Number(attributes.x) * this.#scale);
  }

  #draw(name: string, attributes: Readonly<Record<string, string>>): void {
    switch (name) {
      case 'svg':
      case 'desc':
      case 'style':
      case 'title':
        return;
      case 'use':
        this.#use(attributes);
        return;
      case 'path':
        this.#path(readPath(attributes.d ?? ''), attributes);
        return;
      case 'rect':
        this.#path(readPath(rectPath(attributes)), { fill: 'black', ...attributes });
        return;
      case 'polyline':
        this.#path(readPath(pointsPath(attributes)), { fill: 'none', ...attributes });
        return;
      case 'polygon':
        this.#path(readPath(`${pointsPath(attributes)}Z`), { fill: 'black', ...attributes });
        return;
      case 'ellipse':
        this.#path(readPath(ellipsePath(attributes)), { fill: 'black', ...attributes });
        return;
      default:
        throw new Error(
          `The engraver drew a ${name} in ${this.#groups.map((group) => group.classes).join(' ')}, which is not understood`,
        );
    }
  }

  #use(attributes: Readonly<Record<string, string>>): void {
    const code = codeOf((attributes['xlink:href'] ?? attributes.href ?? '').replace('#', ''));
    const match = /^translate\((-?[\d.]+),\s*(-?[\d.]+)\) scale\((-?[\d.]+),\s*(-?[\d.]+)\)$/u.exec(
      attributes.transform ?? '',
    );
    const shape = this.#shapes.get(code);
    if (!match || !shape) throw new Error(`The engraver used a glyph ${code} we cannot place`);
    const [x, y, size] = [Number(match[1]), Number(match[2]), Number(match[3])];
    const scale = size * this.#scale;
    const place = { x: x * this.#scale, y: y * this.#scale };
    this.#system.items.push({ kind: 'glyph', glyph: code, ...place, scale });
    const bounds = boundsOf(mapPath(shape, { a: scale, d: -scale, e: place.x, f: place.y }));
    this.#reach(bounds.minY, bounds.maxY);
    this.#place(bounds);
  }

  #path(segments: readonly Segment[], attributes: Readonly<Record<string, string>>): void {
    const scale = this.#scale;
    const mapped = mapPath(segments, { a: scale, d: scale, e: 0, f: 0 });
    const straight = mapped.every((segment) => segment.op === 'M' || segment.op === 'L');
    const stroke = Number(attributes['stroke-width'] ?? 0) * scale;
    const hollow = attributes.fill === 'none' || attributes['fill-opacity'] === '0';
    const dash = attributes['stroke-dasharray'];
    this.#system.items.push({
      kind: 'path',
      segments: mapped,
      fill: !hollow && !(straight && mapped.length <= 2),
      stroke,
      ...(dash ? { dash: dash.split(/[ ,]+/u).map((part) => Number(part) * scale) } : {}),
    });
    const bounds = boundsOf(mapped);
    const staffLine = this.#groups.at(-1)?.classes === 'staff';
    if (staffLine) this.#staffLine(bounds);
    else this.#reach(bounds.minY, bounds.maxY);
    if (!staffLine) this.#place(bounds);
  }

  #staffLine(bounds: { minX: number; maxX: number; minY: number }): void {
    this.#system.lines.add(Math.round(bounds.minY * 100) / 100);
    const measure = this.#system.measures.at(-1);
    if (!measure) return;
    measure.left = Math.min(measure.left, bounds.minX);
    measure.right = Math.max(measure.right, bounds.maxX);
    this.#reach(bounds.minY, bounds.minY);
  }

  #reach(top: number, bottom: number): void {
    this.#system.top = Math.min(this.#system.top, top);
    this.#system.bottom = Math.max(this.#system.bottom, bottom);
    if (this.#groups.some((group) => FIXED.has(group.classes))) return;
    this.#system.musicTop = Math.min(this.#system.musicTop, top);
    this.#system.musicBottom = Math.max(this.#system.musicBottom, bottom);
  }

  /** Notes down where the event drawn now stands: the innermost group with an event id. */
  #place(bounds: { minX: number; minY: number; maxY: number }): void {
    const group = this.#groups.findLast((candidate) => /^e\d+-\d+$/u.test(candidate.id));
    if (!group) return;
    const number = Number(group.id.split('-')[1]);
    const events = this.#system.measures.at(-1)?.events;
    const known = events?.get(number);
    const head = this.#groups.some((candidate) =>
      ['notehead', 'rest', 'mRest'].includes(candidate.classes),
    );
    events?.set(number, {
      x: known ? (head ? Math.min(known.x, bounds.minX) : known.x) : bounds.minX,
      top: Math.min(known?.top ?? Infinity, bounds.minY),
      bottom: Math.max(known?.bottom ?? -Infinity, bounds.maxY),
    });
  }

  result(): Engraved {
    return {
      systems: this.#systems.map((system) => {
        const lines = [...system.lines].sort((a, b) => a - b);
        const [staffTop, staffBottom] = [lines[0], lines.at(-1)];
        if (staffTop === undefined || staffBottom === undefined)
          throw new Error('The engraver drew a line of music without a staff');
        const { measures, items, musicTop, musicBottom, top, bottom } = system;
        return { measures, items, staffTop, staffBottom, musicTop, musicBottom, top, bottom };
      }),
      glyphs: this.#glyphs,
    };
  }
}

function openMeasure(id: string): OpenMeasure {
  return {
    ordinal: Number(id.slice(1)),
    left: Infinity,
    right: -Infinity,
    chords: [],
    events: new Map(),
  };
}

/** `E050-x1y2` is the glyph E050 of this run. */
function codeOf(id: string): string {
  return id.split('-')[0] ?? '';
}

function rectPath(attributes: Readonly<Record<string, string>>): string {
  const [x, y, width, height] = ['x', 'y', 'width', 'height'].map((key) =>
    Number(attributes[key] ?? 0),
  ) as [number, number, number, number];
  return `M${x} ${y}L${x + width} ${y}L${x + width} ${y + height}L${x} ${y + height}Z`;
}

function pointsPath(attributes: Readonly<Record<string, string>>): string {
  const numbers = (attributes.points ?? '').trim().split(/[\s,]+/u);
  const corners = [];
  for (let index = 0; index + 1 < numbers.length; index += 2)
    corners.push(`${numbers[index]} ${numbers[index + 1]}`);
  return `M${corners.join('L')}`;
}

function ellipsePath(attributes: Readonly<Record<string, string>>): string {
  const [cx, cy, rx, ry] = ['cx', 'cy', 'rx', 'ry'].map((key) => Number(attributes[key] ?? 0)) as [
    number,
    number,
    number,
    number,
  ];
  // Four cubic arcs; 0.5523 is the usual constant for a circle's quarter.
  const [kx, ky] = [rx * 0.5523, ry * 0.5523];
  return [
    `M${cx - rx} ${cy}`,
    `C${cx - rx} ${cy - ky} ${cx - kx} ${cy - ry} ${cx} ${cy - ry}`,
    `C${cx + kx} ${cy - ry} ${cx + rx} ${cy - ky} ${cx + rx} ${cy}`,
    `C${cx + rx} ${cy + ky} ${cx + kx} ${cy + ry} ${cx} ${cy + ry}`,
    `C${cx - kx} ${cy + ry} ${cx - rx} ${cy + ky} ${cx - rx} ${cy}Z`,
  ].join('');
}
