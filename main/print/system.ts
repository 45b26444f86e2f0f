import type { Part, PartCue, PartMeasure } from '../../shared-core/parts/model.ts';
import type { PrintedMeasure } from '../../shared-core/parts/printed.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';
import { type ChordLook, type SetChord, setChord } from './chord-symbol.ts';
import { moved, setText } from './fonts.ts';
import { DIAGRAM, fretDiagram } from './fret-diagram.ts';
import { LOOKS, scaledLook, WORDS } from './looks.ts';
import type { Sheet } from './options.ts';
import { mapPath } from './path.ts';
import type { EngravedMeasure, EngravedSystem } from './read-svg.ts';
import type { Face, GroupItem, Item, PathItem, TextItem } from './scene.ts';
import { stroke } from './shapes.ts';

/** A line of music with its words, ready to be put on a page: y 0 is its top. */
export interface SetSystem {
  readonly items: readonly Item[];
  readonly height: number;
  /** Ordinal of its first bar. */
  readonly first: number;
  /** Whether a block, strip or coda starts here, or a section: the better places for a page to begin. */
  readonly opens: { readonly block: boolean; readonly section: boolean };
  readonly marks: readonly { readonly label: string; readonly y: number }[];
}

/** What setting a line needs. */
export interface SystemContext {
  readonly part: Part;
  readonly printed: readonly PrintedMeasure[];
  readonly sheet: Sheet;
}

/** A box of words that must find a free place above the staff. */
interface Floating {
  readonly x: number;
  readonly width: number;
  readonly height: number;
  readonly draw: (baseline: number) => readonly Item[];
}

interface Bar {
  readonly engraved: EngravedMeasure;
  readonly printed: PrintedMeasure;
  readonly measure: PartMeasure;
}

/**
 * Sets the words of one engraved line: chord symbols on one baseline above the staff, the band's
 * changes below it where the soloist has others, cues, instructions and endings in rows above,
 * the section letter in its box, the bar number in the gutter.
 */
export function setSystem(context: SystemContext, engraved: EngravedSystem): SetSystem {
  const bars = engraved.measures.map((measure): Bar => {
    const printed = context.printed[measure.ordinal];
    if (!printed) throw new Error(`The engraver made up bar ${measure.ordinal}`);
    return { engraved: measure, printed, measure: printed.measure };
  });
  const setter = new SystemSetter(context, engraved, bars);
  return setter.set();
}

class SystemSetter {
  readonly #context: SystemContext;
  readonly #engraved: EngravedSystem;
  readonly #bars: readonly Bar[];
  readonly #items: Item[] = [];
  readonly #marks: { label: string; y: number }[] = [];
  #top: number;
  #bottom: number;

  constructor(context: SystemContext, engraved: EngravedSystem, bars: readonly Bar[]) {
    this.#context = context;
    this.#engraved = engraved;
    this.#bars = bars;
    this.#top = engraved.top;
    this.#bottom = engraved.bottom;
  }

  get #size(): number {
    return this.#context.sheet.size;
  }

  get #left(): number {
    return Math.min(...this.#bars.map((bar) => bar.engraved.left));
  }

  set(): SetSystem {
    const chordLine = this.#chordLine();
    const spans = this.#chords(chordLine);
    this.#rehearsal(chordLine, spans);
    this.#rows(this.#diagrams(chordLine - LOOKS.strong.root * this.#size * 0.9));
    const under = this.#bottom;
    this.#bandBelow(under, this.#noteMarks());
    this.#barNumber();
    this.#heading();
    return this.#finish();
  }

  /** Baseline of the chord symbols: clear of the staff and of every note in this line. */
  #chordLine(): number {
    const highest = Math.min(this.#engraved.staffTop, this.#engraved.musicTop);
    return Math.min(this.#engraved.staffTop - 6.5 * this.#size, highest - 4.5 * this.#size);
  }

  #look(layer: 'strong' | 'light' | 'cue'): ChordLook {
    return scaledLook(LOOKS[layer], this.#size);
  }

  /** Chord symbols above the staff: what this chair plays. Gives back the room they take. */
  #chords(baseline: number): readonly { from: number; to: number }[] {
    const spans: { from: number; to: number }[] = [];
    for (const bar of this.#bars) {
      for (const { harmony, x, layer } of placedChords(bar)) {
        if (layer === 'band' && bar.measure.solo) continue;
        const set = setChord(harmony, this.#context.sheet.style, this.#look('strong'));
        this.#items.push(groupAt(set, x, baseline));
        spans.push({ from: x, to: x + set.width });
      }
    }
    this.#reach(baseline - LOOKS.strong.root * this.#size * 0.75, baseline);
    return spans;
  }

  /** Fret diagrams over their chords; gives back the height where the rows above may begin. */
  #diagrams(floor: number): number {
    const size = this.#size;
    const placed = this.#bars.flatMap((bar) =>
      bar.measure.voicings.flatMap(({ at, voicing }) => {
        const chord = placedChords(bar).find((held) => held.at === at && held.layer === 'band');
        return chord && voicing.frets ? [{ x: chord.x, frets: voicing.frets }] : [];
      }),
    );
    if (placed.length === 0) return floor;
    const bottom = floor - 3 * size;
    for (const { x, frets } of placed) this.#items.push(...fretDiagram(frets, x, bottom, size));
    const top = bottom - DIAGRAM.height * size;
    this.#reach(top, bottom);
    return top;
  }

  /**
   * The band's changes under the staff, on one line; below the note marks where they would touch.
   *
   * @param under lowest place of the staff and its notes
   */
  #bandBelow(under: number, marks: readonly { from: number; to: number }[]): void {
    const placed = this.#bars.flatMap((bar) =>
      bar.measure.solo ? placedChords(bar).filter((chord) => chord.layer === 'band') : [],
    );
    if (placed.length === 0) return;
    const look = this.#look('light');
    const sets = placed.map(({ harmony, x }) => ({
      set: setChord(harmony, this.#context.sheet.style, look),
      x,
    }));
    const touches = sets.some(({ set, x }) =>
      marks.some((mark) => mark.from < x + set.width + 3 && mark.to > x - 3),
    );
    const baseline = (touches ? this.#bottom : under) + look.root * 0.95;
    for (const { set, x } of sets) this.#items.push(groupAt(set, x, baseline));
    this.#reach(baseline, baseline + look.root * 0.25);
  }

  /** The boxed letter above the clef; above the chords where one stands in its way. */
  #rehearsal(chordLine: number, spans: readonly { from: number; to: number }[]): void {
    for (const bar of this.#bars) {
      const letter = bar.measure.rehearsal;
      if (letter === null) continue;
      const set = setText('bold', WORDS.rehearsal * this.#size, letter);
      const pad = 3.6 * this.#size;
      const [width, height] = [set.width + pad * 2, WORDS.rehearsal * this.#size * 0.68 + pad * 2];
      const x = bar.engraved.left;
      const taken = spans.some((span) => span.from < x + width + 3 && span.to > x - 3);
      const bottom = taken
        ? chordLine - LOOKS.strong.root * this.#size
        : chordLine - 0.8 * this.#size;
      this.#items.push(
        box(x, bottom - height, width, height, 1.1 * this.#size),
        ...moved(set.items, x + pad, bottom - pad),
      );
      this.#reach(bottom - height, bottom);
      this.#marks.push({ label: letter, y: bottom - height });
    }
  }

  /** Ending brackets, cues, instructions and signs, each in the lowest row where it is free. */
  #rows(floor: number): void {
    const size = this.#size;
    const rows: Floating[][] = [];
    for (const group of [
      this.#endings(),
      this.#scales(),
      this.#cues(),
      this.#directions(),
      this.#signs(),
    ]) {
      for (const floating of group) {
        const row = rows.find((others) => others.every((other) => apart(other, floating)));
        if (row) row.push(floating);
        else rows.push([floating]);
      }
    }
    let baseline = floor - 1.5 * size;
    for (const row of rows) {
      const height = Math.max(...row.map((floating) => floating.height));
      for (const floating of row) this.#items.push(...floating.draw(baseline));
      this.#reach(baseline - height, baseline);
      baseline -= height + 1.5 * size;
    }
  }

  /** A left end that keeps words of a width inside the line's right end. */
  #within(x: number, width: number): number {
    const right = Math.max(...this.#bars.map((bar) => bar.engraved.right));
    return Math.max(
      this.#left,
      Math.min(
        x,
        Math.max(right, this.#context.sheet.right - this.#context.sheet.left + this.#left) - width,
      ),
    );
  }

  #cues(): Floating[] {
    // Rows fill from the staff up, so the last chorus comes first and the first ends on top.
    return this.#bars.flatMap((bar) =>
      bar.measure.cues.map((cue) => this.#cue(bar, cue)).reverse(),
    );
  }

  #cue(bar: Bar, cue: PartCue): Floating {
    const size = this.#size;
    const words = setText('italic', WORDS.cue * size, cueWords(cue));
    const chords: { set: SetChord; x: number }[] = [];
    let x = words.width;
    for (const { harmony } of cue.harmonies) {
      const set = setChord(harmony, this.#context.sheet.style, this.#look('cue'));
      chords.push({ set, x });
      x += set.width + 6 * size;
    }
    const at = this.#within(xAt(bar, cue.at), x);
    return {
      x: at,
      width: x + 4 * size,
      height: 14 * size,
      draw: (baseline) => [
        ...moved(words.items, at, baseline - 2 * size),
        ...chords.map((chord) => groupAt(chord.set, at + chord.x, baseline - 2 * size)),
      ],
    };
  }

  /** Names of scales over the chords they go with. */
  #scales(): Floating[] {
    const size = this.#size;
    return this.#bars.flatMap((bar) =>
      bar.measure.scales.flatMap(({ at, words }) => {
        const chord = placedChords(bar).find((held) => held.at === at && held.layer === 'solo');
        if (!chord) return [];
        const set = setText('italic', WORDS.scale * size, words);
        const x = this.#within(chord.x, set.width);
        return [
          {
            x,
            width: set.width + 5 * size,
            height: 11 * size,
            draw: (baseline: number) => moved(set.items, x, baseline - 1.5 * size),
          },
        ];
      }),
    );
  }

  #directions(): Floating[] {
    const size = this.#size;
    return this.#bars.flatMap((bar) =>
      bar.measure.directions.map((direction): Floating => {
        const chorus = direction.choruses ? ` (chorus ${listOf(direction.choruses)})` : '';
        const set = setText('italic', WORDS.direction * size, direction.words + chorus);
        const at = this.#within(xAt(bar, direction.at), set.width);
        return {
          x: at,
          width: set.width + 6 * size,
          height: 13.5 * size,
          draw: (baseline) => moved(set.items, at, baseline - 2.5 * size),
        };
      }),
    );
  }

  /** Ending brackets, one for each run of bars with the same numbers. */
  #endings(): Floating[] {
    const runs: { from: Bar; to: Bar }[] = [];
    for (const bar of this.#bars) {
      if (bar.measure.endings.length === 0) continue;
      const last = runs.at(-1);
      if (last && !bar.measure.endingStart && !last.to.measure.endingStop) last.to = bar;
      else runs.push({ from: bar, to: bar });
    }
    return runs.map(({ from, to }) => this.#bracket(from, to));
  }

  #bracket(from: Bar, to: Bar): Floating {
    const size = this.#size;
    const numbers = `${from.measure.endings.join('. ')}.`;
    const set = setText('semibold', WORDS.ending * size, numbers);
    const [left, right] = [from.engraved.left + 1, to.engraved.right - 1];
    const height = 14 * size;
    return {
      x: left,
      width: right - left,
      height,
      draw: (baseline) => {
        const top = baseline - height + 1;
        const opens = from.measure.endingStart
          ? `M${left} ${baseline}L${left} ${top}`
          : `M${left} ${top}`;
        const closed = to.measure.endingStop && to.measure.repeatEnd > 0;
        const closes = closed ? `L${right} ${baseline}` : '';
        return [
          stroke(`${opens}L${right} ${top}${closes}`, 0.9 * size),
          ...(from.measure.endingStart
            ? moved(set.items, left + 4 * size, baseline - 3 * size)
            : []),
        ];
      },
    };
  }

  /** Segno, coda, To Coda, Fine and the jump. */
  #signs(): Floating[] {
    const { jump, blocks } = this.#context.part;
    if (!jump) return [];
    const floats: Floating[] = [];
    for (const { engraved, printed } of this.#bars) {
      const inTarget = printed.place === 'block' && printed.block === jump.block;
      if (inTarget && printed.position === 0 && jump.kind === 'D.S.')
        floats.push(this.#sign('𝄋', engraved.left, 'left'));
      if (inTarget && printed.position === jump.bars - 1)
        floats.push(this.#sign(jump.al === 'coda' ? 'To Coda 𝄌' : 'Fine', engraved.right, 'right'));
      if (printed.place === 'coda' && printed.position === 0)
        floats.push(this.#sign('𝄌 Coda', engraved.left, 'left'));
      const lastBar =
        printed.place === 'block' &&
        printed.block === blocks.length - 1 &&
        printed.position === printed.of - 1;
      if (lastBar)
        floats.push(
          this.#sign(
            `${jump.kind} al ${jump.al === 'coda' ? 'Coda' : 'Fine'}`,
            engraved.right,
            'right',
          ),
        );
    }
    return floats;
  }

  #sign(words: string, x: number, side: 'left' | 'right'): Floating {
    const size = this.#size;
    const set = setText('bold', WORDS.sign * size, words);
    const left = side === 'left' ? x : x - set.width;
    return {
      x: left,
      width: set.width,
      height: 17 * size,
      draw: (baseline) => moved(set.items, left, baseline - 3 * size),
    };
  }

  /** `tells` and `home` under their notes. Gives back the room they take. */
  #noteMarks(): readonly { from: number; to: number }[] {
    const size = this.#size;
    const marks = this.#bars.flatMap((bar) =>
      bar.measure.events.flatMap((event) =>
        event.kind === 'note' && event.mark ? [{ bar, at: event.at, mark: event.mark }] : [],
      ),
    );
    if (marks.length === 0) return [];
    const baseline = this.#bottom + WORDS.mark * size;
    const spans: { from: number; to: number }[] = [];
    let free = Number.NEGATIVE_INFINITY;
    for (const { bar, at, mark } of marks) {
      const set = setText('italic', WORDS.mark * size, mark);
      const x = Math.max(xAt(bar, at) - 2 * size, free);
      this.#items.push(...moved(set.items, x, baseline));
      free = x + set.width + 3 * size;
      spans.push({ from: x, to: x + set.width });
    }
    this.#reach(baseline, baseline + 2 * size);
    return spans;
  }

  #barNumber(): void {
    const first = this.#bars[0];
    if (!first || first.measure.number < 1) return;
    const set = setText('regular', WORDS.barNumber * this.#size, String(first.measure.number));
    // A brace stands before two staves.
    const room = this.#context.part.reading.staves === 2 ? 10 : 4;
    const x = this.#left - set.width - room * this.#size;
    this.#items.push(...moved(set.items, x, this.#engraved.staffTop + 3 * this.#size));
  }

  /** Words over the first line of a block, strip or coda. */
  #heading(): void {
    const first = this.#bars[0];
    if (first?.printed.position !== 0) return;
    const words = headingOf(this.#context.part, first.printed);
    if (words === null) return;
    const size = this.#size;
    const set = setText('bold', WORDS.heading * size, words);
    const baseline = this.#top - 5 * size;
    this.#items.push(...moved(set.items, this.#left, baseline));
    this.#reach(baseline - WORDS.heading * size, baseline);
    this.#marks.unshift({ label: words, y: baseline - WORDS.heading * size });
  }

  #reach(top: number, bottom: number): void {
    this.#top = Math.min(this.#top, top);
    this.#bottom = Math.max(this.#bottom, bottom);
  }

  #finish(): SetSystem {
    const dx = this.#context.sheet.left - this.#left;
    const dy = -this.#top;
    const first = this.#bars[0];
    const block = first?.printed.position === 0;
    return {
      items: [...this.#engraved.items, ...this.#items].map((item) => moveItem(item, dx, dy)),
      height: this.#bottom - this.#top,
      first: first?.engraved.ordinal ?? 0,
      opens: { block, section: block || (first?.measure.rehearsal ?? null) !== null },
      marks: this.#marks.map((mark) => ({ label: mark.label, y: mark.y + dy })),
    };
  }
}

/** `2, 3 and 5` for lists of choruses. */
export function listOf(numbers: readonly number[]): string {
  if (numbers.length < 2) return numbers.join('');
  return `${numbers.slice(0, -1).join(', ')} and ${numbers.at(-1)}`;
}

/** `over the top: `, `chorus 3, tell: `, or nothing where the cue of the bar before goes on. */
function cueWords(cue: PartCue): string {
  const chorus = cue.choruses
    ? `${cue.choruses.length > 1 ? 'choruses' : 'chorus'} ${listOf(cue.choruses)}`
    : '';
  const words = [chorus, cue.words ?? ''].filter(Boolean).join(', ');
  return words === '' ? '' : `${words}: `;
}

function headingOf(part: Part, printed: PrintedMeasure): string | null {
  const block = part.blocks[printed.block];
  if (!block) return null;
  if (printed.place === 'coda') return part.jump?.heading ?? null;
  if (printed.place === 'block') return block.heading;
  const strip = block.strips[printed.strip];
  if (!strip) return null;
  const numbers = strip.measures.map((measure) => measure.number);
  const bars = numbers.length === 1 ? `bar ${numbers[0]}` : `bars ${numbers[0]}–${numbers.at(-1)}`;
  return `Chorus ${listOf(strip.choruses)}, ${bars}:`;
}

/** Chords of a bar with the places the engraver kept for them, in the order they were written. */
function placedChords(bar: Bar): readonly {
  at: Ticks;
  harmony: PartMeasure['band'][number]['harmony'];
  x: number;
  layer: 'band' | 'solo';
}[] {
  const { measure, engraved } = bar;
  const chords = [
    ...(measure.solo ?? []).map((held) => ({ ...held, layer: 'solo' as const })),
    ...measure.band.map((held) => ({ ...held, layer: 'band' as const })),
  ].sort((a, b) => a.at - b.at);
  if (chords.length !== engraved.chords.length)
    throw new Error(
      `Bar ${engraved.ordinal} has ${chords.length} chords, the engraver kept room for ${engraved.chords.length}`,
    );
  return chords.map(({ at, harmony, layer }, index) => ({
    at,
    harmony,
    layer,
    x: engraved.chords[index] ?? engraved.left,
  }));
}

/** Where a time of the bar stands: at its event, or between two of them. */
function xAt(bar: Bar, at: Ticks): number {
  const { events } = bar.measure;
  let found: { from: number; to: number; share: number } | null = null;
  events.forEach((event, index) => {
    if (at < event.at || at >= event.at + event.length) return;
    found = { from: index, to: index + 1, share: (at - event.at) / event.length };
  });
  const place = (index: number): number | undefined => bar.engraved.events.get(index)?.x;
  const { from, to, share } = found ?? { from: 0, to: 1, share: 0 };
  const left = place(from) ?? bar.engraved.left + 4;
  if (share === 0) return left;
  return left + ((place(to) ?? bar.engraved.right) - left) * share;
}

function apart(a: Floating, b: Floating): boolean {
  return a.x + a.width <= b.x || b.x + b.width <= a.x;
}

function groupAt(set: SetChord, x: number, y: number): GroupItem {
  return { kind: 'group', label: set.label, items: moved(set.items, x, y) };
}

function box(x: number, y: number, width: number, height: number, line: number): PathItem {
  return stroke(
    `M${x} ${y}L${x + width} ${y}L${x + width} ${y + height}L${x} ${y + height}Z`,
    line,
  );
}

/** Moves any item. */
export function moveItem(item: Item, dx: number, dy: number): Item {
  switch (item.kind) {
    case 'path':
      return {
        ...item,
        segments: mapPath(item.segments, { a: 1, d: 1, e: dx, f: dy }),
      };
    case 'group':
      return { ...item, items: item.items.map((inner) => moveItem(inner, dx, dy) as TextItem) };
    default:
      return { ...item, x: item.x + dx, y: item.y + dy };
  }
}

/** Words at a place, left, centred or right of it. */
export function wordsAt(
  face: Face,
  size: number,
  text: string,
  x: number,
  y: number,
  align: 'left' | 'centre' | 'right' = 'left',
): readonly TextItem[] {
  const set = setText(face, size, text);
  const shift = align === 'left' ? 0 : align === 'centre' ? set.width / 2 : set.width;
  return moved(set.items, x - shift, y);
}
