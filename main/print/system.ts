import { type Bar, placedChords, type SystemContext, xAt } from './bar-places.ts';
import { type ChordLook, type SetChord, setChord } from './chord-symbol.ts';
import { moved, setText } from './fonts.ts';
import { DIAGRAM, fretDiagram } from './fret-diagram.ts';
import { setHeadings } from './headings.ts';
import { LOOKS, scaledLook, WORDS } from './looks.ts';
import { type Opens, opensOf } from './opens.ts';
import { apart, groupAt, moveItem, wordsAt } from './place.ts';
import type { EngravedSystem } from './read-svg.ts';
import { rowsAbove } from './rows.ts';
import { inlineScale } from './scale-names.ts';
import type { Item } from './scene.ts';
import { box } from './shapes.ts';
import { signsOf } from './signs.ts';
import { countOver } from './simile.ts';

/** A line of music with its words, ready to be put on a page: y 0 is its top. */
export interface SetSystem {
  readonly items: readonly Item[];
  readonly height: number;
  /** How far the clef reaches below; nothing but what stands above the next clef can meet it. */
  readonly tail: number;
  /** Whether a letter or heading stands above the clef. */
  readonly corner: boolean;
  /** Ordinal of its first bar. */
  readonly first: number;
  readonly opens: Opens;
  readonly marks: readonly { readonly label: string; readonly y: number }[];
}

/** Air kept under a staff in any case. */
const LEAST_AIR = 1;

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
    this.#bottom = Math.max(engraved.staffBottom + LEAST_AIR, engraved.musicBottom);
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
    this.#counts(chordLine);
    this.#rehearsal(chordLine, spans);
    this.#rows(this.#diagrams(chordLine - this.#overStaff()));
    const under = this.#bottom;
    this.#bandBelow(under, this.#noteMarks());
    this.#barNumber();
    this.#heading();
    return this.#finish();
  }

  /** Baseline of the chord symbols: clear of the staff and of every note in this line. */
  #chordLine(): number {
    const highest = Math.min(this.#engraved.staffTop, this.#engraved.musicTop);
    return Math.min(this.#engraved.staffTop - 5 * this.#size, highest - 2.5 * this.#size);
  }

  /** Height of what stands on the line of the chords: symbols, a boxed letter, counts, or nothing. */
  #overStaff(): number {
    const measures = this.#bars.map(({ measure }) => measure);
    const chords = measures.some(({ band, solo }) => band.length > 0 || solo !== null);
    if (chords || measures.some(({ rehearsal }) => rehearsal !== null))
      return LOOKS.strong.root * this.#size * 0.9;
    const counted = measures.some((_, at) => countOver(measures, at) !== null);
    return counted ? WORDS.count * this.#size : 0;
  }

  #look(layer: 'strong' | 'light'): ChordLook {
    return scaledLook(LOOKS[layer], this.#size);
  }

  /** Chord symbols above the staff: what this chair plays. Gives back the room they take. */
  #chords(baseline: number): readonly { from: number; to: number }[] {
    const symbols: { readonly set: SetChord; readonly x: number }[] = [];
    for (const bar of this.#bars) {
      for (const { harmony, x, layer } of placedChords(bar)) {
        if (layer === 'band' && bar.measure.solo) continue;
        // What is only heard must not look like what is played.
        const look = this.#look(bar.printed.place === 'cue' ? 'light' : 'strong');
        symbols.push({ set: setChord(harmony, this.#context.sheet.style, look), x });
      }
      for (const { at } of bar.measure.scales) {
        const scale = inlineScale(this.#context, bar, at);
        if (scale) this.#items.push(...moved(scale.set.items, scale.x, baseline));
      }
    }
    const spans = apart(
      symbols.map(({ set, x }) => ({ from: x, to: x + set.width })),
      2.5 * this.#size,
    );
    symbols.forEach(({ set, x }, at) => {
      this.#items.push(groupAt(set, spans[at]?.from ?? x, baseline));
    });
    for (const { set, x, inline } of signsOf(this.#context, this.#bars))
      if (inline) this.#items.push(...moved(set.items, x, baseline));
    this.#reach(baseline - this.#overStaff() * 0.8, baseline);
    return spans;
  }

  /** The count over bars of repeat signs, where a phrase ends: a drummer has no chords there. */
  #counts(baseline: number): void {
    const bars = this.#bars.map(({ measure }) => measure);
    this.#bars.forEach(({ engraved: { left, right } }, at) => {
      const count = countOver(bars, at);
      if (count === null) return;
      const size = WORDS.count * this.#size;
      this.#items.push(
        ...wordsAt('italic', size, `(${count})`, (left + right) / 2, baseline, 'centre'),
      );
    });
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
    const { leftHanded } = this.#context.sheet;
    for (const { x, frets } of placed) {
      const strings = leftHanded ? [...frets].reverse() : frets;
      this.#items.push(...fretDiagram(strings, x, bottom, size));
    }
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
    // Air under it, or it would seem to belong to the line below.
    this.#reach(baseline, baseline + look.root * 0.25 + 4 * this.#size);
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

  /** What stands in rows above the chords. */
  #rows(floor: number): void {
    const air = 1 * this.#size;
    let baseline = floor - air;
    for (const row of rowsAbove(this.#context, this.#bars)) {
      const height = Math.max(...row.map((floating) => floating.height));
      for (const floating of row) this.#items.push(...floating.draw(baseline));
      this.#reach(baseline - height, baseline);
      baseline -= height + air;
    }
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
    const edge = this.#left + this.#context.sheet.right - this.#context.sheet.left;
    const spans: { from: number; to: number }[] = [];
    // Each stays under its own note: one with no room beside the one before stands a row lower.
    const row = WORDS.mark * size;
    const free = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
    let lowest = 0;
    for (const { bar, at, mark } of marks) {
      const set = setText('italic', WORDS.mark * size, mark);
      const wanted = Math.min(xAt(bar, at) - 2 * size, edge - set.width);
      const level = wanted >= (free[0] ?? 0) ? 0 : 1;
      const x = Math.max(wanted, free[level] ?? wanted);
      this.#items.push(...moved(set.items, x, baseline + level * row));
      free[level] = x + set.width + 4 * size;
      lowest = Math.max(lowest, level);
      spans.push({ from: x, to: x + set.width });
    }
    this.#reach(baseline, baseline + lowest * row + 2 * size);
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

  /** Words over the first line of a block or coda, and over every strip. */
  #heading(): void {
    const headings = setHeadings(this.#context, this.#bars, this.#top);
    if (!headings) return;
    this.#items.push(...headings.items);
    this.#reach(headings.top, headings.top);
    this.#marks.unshift(...headings.marks);
  }

  #reach(top: number, bottom: number): void {
    this.#top = Math.min(this.#top, top);
    this.#bottom = Math.max(this.#bottom, bottom);
  }

  #finish(): SetSystem {
    const dx = this.#context.sheet.left - this.#left;
    const dy = -this.#top;
    const first = this.#bars[0];
    return {
      items: [...this.#engraved.items, ...this.#items].map((item) => moveItem(item, dx, dy)),
      height: this.#bottom - this.#top,
      tail: Math.max(0, this.#engraved.bottom - this.#bottom),
      corner: this.#bars.some(
        ({ measure, printed }) => measure.rehearsal !== null || printed.position === 0,
      ),
      first: first?.engraved.ordinal ?? 0,
      opens: opensOf(this.#context.printed, first),
      marks: this.#marks.map((mark) => ({ label: mark.label, y: mark.y + dy })),
    };
  }
}
