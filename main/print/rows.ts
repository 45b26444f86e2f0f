import type { PartCue } from '../../shared-core/parts/model.ts';
import { type Bar, placedChords, type SystemContext, xAt } from './bar-places.ts';
import { type SetChord, setChord } from './chord-symbol.ts';
import { apart, chorusRows } from './chorus-rows.ts';
import { type Floating, fixedAt } from './floating.ts';
import { moved, setText } from './fonts.ts';
import { LOOKS, scaledLook, WORDS } from './looks.ts';
import { overStrips } from './over-strips.ts';
import { groupAt } from './place.ts';
import { inlineScale } from './scale-names.ts';
import { stroke } from './shapes.ts';
import { signsOf } from './signs.ts';
import { cueWords, shortChoruses } from './wording.ts';

/**
 * The rows above the chords of a line, lowest first: ending brackets, what is for single choruses in a row
 * for each, names of scales, cues, instructions and signs, each in the lowest row where it is free.
 */
export function rowsAbove(
  context: SystemContext,
  bars: readonly Bar[],
): readonly (readonly Floating[])[] {
  const words = new RowWords(context, bars);
  const rows: Floating[][] = [];
  const put = (row: readonly Floating[]): void => {
    const known = rows.find((others) =>
      others.every((other) => row.every((floating) => apart(other, floating))),
    );
    if (known) known.push(...row);
    else rows.push([...row]);
  };
  for (const floating of words.brackets()) put([floating]);
  const choruses = words.ofChoruses();
  for (const row of chorusRows(choruses, context.sheet.size)) put(row);
  for (const floating of words.others()) put([floating]);
  return rows;
}

class RowWords {
  readonly #context: SystemContext;
  readonly #bars: readonly Bar[];

  constructor(context: SystemContext, bars: readonly Bar[]) {
    this.#context = context;
    this.#bars = bars;
  }

  get #size(): number {
    return this.#context.sheet.size;
  }

  get #left(): number {
    return Math.min(...this.#bars.map((bar) => bar.engraved.left));
  }

  brackets(): readonly Floating[] {
    return this.#endings();
  }

  /** Changes and cues that say whose chorus they are for. */
  ofChoruses(): readonly Floating[] {
    const cues = this.#cues().filter(({ chorus }) => chorus !== null);
    return [...overStrips(this.#context, this.#bars), ...cues];
  }

  others(): readonly Floating[] {
    return [
      ...this.#scales(),
      ...this.#cues().filter(({ chorus }) => chorus === null),
      ...this.#directions(),
      ...this.#signs(),
    ];
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
    return this.#bars.flatMap((bar) =>
      bar.measure.cues.map((cue): Floating => {
        const after = this.#cue(bar, { ...cue, choruses: null });
        return cue.choruses === null ? after : { ...this.#cue(bar, cue), after };
      }),
    );
  }

  #cue(bar: Bar, cue: PartCue): Floating {
    const size = this.#size;
    const words = setText('italic', WORDS.cue * size, cueWords(cue));
    const chords: { set: SetChord; x: number }[] = [];
    let x = words.width;
    for (const { harmony } of cue.harmonies) {
      const set = setChord(harmony, this.#context.sheet.style, scaledLook(LOOKS.cue, size));
      chords.push({ set, x });
      x += set.width + 6 * size;
    }
    const at = this.#within(xAt(bar, cue.at), x);
    return {
      ...fixedAt(at),
      width: x + 4 * size,
      height: 14 * size,
      least: this.#left,
      chorus: cue.choruses?.[0] ?? null,
      draw: (baseline) => [
        ...moved(words.items, at, baseline - 2 * size),
        ...chords.map((chord) => groupAt(chord.set, at + chord.x, baseline - 2 * size)),
      ],
    };
  }

  /** Names of scales over the chords they go with, where they have no room beside them. */
  #scales(): Floating[] {
    const size = this.#size;
    return this.#bars.flatMap((bar) =>
      bar.measure.scales.flatMap(({ at, words }) => {
        const chord = placedChords(bar).find((held) => held.at === at && held.layer === 'solo');
        if (!chord || inlineScale(this.#context, bar, at)) return [];
        const set = setText('italic', WORDS.scale * size, words);
        const x = this.#within(chord.x, set.width);
        return [
          {
            ...fixedAt(x),
            width: set.width + 5 * size,
            height: 9.5 * size,
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
        const chorus = direction.choruses ? ` (${shortChoruses(direction.choruses)})` : '';
        const set = setText('italic', WORDS.direction * size, direction.words + chorus);
        const at = this.#within(xAt(bar, direction.at), set.width);
        return {
          ...fixedAt(at),
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
      ...fixedAt(left),
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

  /** Segno, coda, To Coda, Fine and the jump, where they have no room beside the chords. */
  #signs(): Floating[] {
    const size = this.#size;
    return signsOf(this.#context, this.#bars)
      .filter(({ inline }) => !inline)
      .map(({ set, x }) => ({
        ...fixedAt(x),
        width: set.width,
        height: 17 * size,
        draw: (baseline) => moved(set.items, x, baseline - 3 * size),
      }));
  }
}
