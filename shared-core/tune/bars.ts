import type { Harmony } from '../chord/model.ts';
import { parseChord } from '../chord/parse.ts';
import { barTicks, beatTicks, type Meter, meterName, type Ticks } from '../time/meter.ts';
import { ticksOf } from './beats.ts';
import type {
  FormJump,
  FormMark,
  HarmonyEvent,
  TuneError,
  TuneErrorCode,
  WrittenBar,
} from './model.ts';
import type { Token } from './tokens.ts';

/** Where a bar starts in the text. */
export interface TextPlace {
  readonly line: number;
  readonly column: number;
}

/** A section while it is read. */
export interface SectionDraft {
  readonly label: string;
  readonly place: TextPlace;
  readonly bars: WrittenBar[];
  readonly places: TextPlace[];
}

type ChordToken = Extract<Token, { kind: 'chord' }>;
type Sign = Extract<Token, { kind: 'chord' | 'hold' | 'simile' }>;

/** A bar whose closing line has not been met yet. */
interface OpenBar {
  place: TextPlace;
  readonly repeatStart: boolean;
  endings: readonly number[];
  meter: Meter | null;
  length: Ticks | null;
  readonly marks: FormMark[];
  jump: FormJump | null;
  readonly signs: Sign[];
  touched: boolean;
  /** Opened by a closing sign with nothing after it yet: an opening sign then belongs to the same line. */
  joined: 'no' | 'to-opening' | 'to-any';
}

/**
 * Gives the tokens of bar lines their meaning, line after line, and carries on after a mistake: a chord
 * that cannot be read leaves the one before it ringing, a bar that does not divide keeps its first chord.
 */
export class BarReader {
  readonly sections: SectionDraft[] = [];
  private meter: Meter;
  private readonly pickup: Ticks;
  private readonly errors: TuneError[];
  private pendingRepeat = false;
  /** Bars read so far. */
  private count = 0;
  /** What sounds at the end of the last bar read, and the whole of that bar: for `%`. */
  private sounding: Harmony | null = null;
  private before: readonly HarmonyEvent[] | null = null;
  private beforeLength: Ticks = 0;

  constructor(meter: Meter, pickup: Ticks, errors: TuneError[]) {
    this.meter = meter;
    this.pickup = pickup;
    this.errors = errors;
  }

  /** Starts a section; lines read from now on belong to it. */
  startSection(label: string, place: TextPlace): void {
    this.sections.push({ label, place, bars: [], places: [] });
  }

  /** Reads one line of bars. */
  readLine(tokens: readonly Token[], endColumn: number): void {
    const first = tokens[0];
    if (!first) return;
    let open: OpenBar | null = first.kind === 'barline' ? null : this.open(first, false);
    for (const token of tokens) {
      if (token.kind === 'barline') {
        open = this.readBarline(token, open);
      } else if (token.kind === 'times') {
        this.readTimes(token, open);
      } else {
        open ??= this.open(token, false);
        this.readInBar(token, open);
      }
    }
    this.endLine(open, first.line, endColumn);
  }

  private readBarline(token: Extract<Token, { kind: 'barline' }>, open: OpenBar | null): OpenBar {
    const place = { line: token.line, column: token.column + token.text.length };
    const same = open?.joined === 'to-any' || (open?.joined === 'to-opening' && token.repeatStart);
    if (open && !(same && !open.touched)) {
      this.close(open, token.repeatEnd ? 2 : 0);
    } else if (!open && token.repeatEnd) {
      this.closeLastBar(token);
    }
    const next = this.open(place, token.repeatStart);
    if (token.repeatEnd) next.joined = 'to-opening';
    return next;
  }

  /** A line may begin with the closing sign of the line before. */
  private closeLastBar(token: Token): void {
    const section = this.sections[this.sections.length - 1];
    const last = section?.bars.pop();
    if (!section || !last) {
      this.report('tune/repeat', token, { reason: 'nothing-to-close' });
      return;
    }
    section.bars.push({ ...last, repeatEnd: 2 });
  }

  private readTimes(token: Extract<Token, { kind: 'times' }>, open: OpenBar | null): void {
    const section = this.sections[this.sections.length - 1];
    const last = section?.bars[section.bars.length - 1];
    if (!section || !last || last.repeatEnd === 0 || open?.touched || token.times < 2) {
      this.report('tune/repeat', token, {
        reason: token.times < 2 ? 'few' : 'count',
        text: token.text,
      });
      return;
    }
    section.bars[section.bars.length - 1] = { ...last, repeatEnd: token.times };
    if (open) open.joined = 'to-any';
  }

  private readInBar(token: Exclude<Token, { kind: 'barline' | 'times' }>, open: OpenBar): void {
    const started = open.signs.length > 0;
    if (!open.touched) open.place = { line: token.line, column: token.column };
    open.touched = true;
    switch (token.kind) {
      case 'ending':
        if (started || open.endings.length > 0) this.strayEnding(token);
        else open.endings = token.numbers;
        return;
      case 'meter':
        this.readMeter(token, open, started);
        return;
      case 'length':
        this.readLength(token, open, started);
        return;
      case 'mark':
        if (!open.marks.includes(token.mark)) open.marks.push(token.mark);
        return;
      case 'jump':
        if (open.jump) this.report('tune/jump', token, { reason: 'two', text: token.text });
        else open.jump = token.jump;
        return;
      default:
        open.signs.push(token);
    }
  }

  private strayEnding(token: Token): void {
    this.report('tune/ending', token, { reason: 'not-at-start', text: token.text });
  }

  private readMeter(token: Extract<Token, { kind: 'meter' }>, open: OpenBar, late: boolean): void {
    if (late) this.report('tune/meter', token, { reason: 'not-at-start', meter: token.text });
    else if (!token.meter) this.report('tune/meter', token, { meter: token.text });
    else open.meter = token.meter;
  }

  private readLength(
    token: Extract<Token, { kind: 'length' }>,
    open: OpenBar,
    late: boolean,
  ): void {
    const meter = open.meter ?? this.meter;
    const ticks = token.beats && ticksOf(token.beats, beatTicks(meter));
    if (late || !ticks || ticks > barTicks(meter)) {
      this.report('tune/bar-division', token, {
        reason: late ? 'length-late' : 'length',
        text: token.text,
      });
      return;
    }
    open.length = ticks;
  }

  private open(token: TextPlace, repeatStart: boolean): OpenBar {
    const bar: OpenBar = {
      place: { line: token.line, column: token.column },
      repeatStart: repeatStart || this.pendingRepeat,
      endings: [],
      meter: null,
      length: null,
      marks: [],
      jump: null,
      signs: [],
      touched: false,
      joined: 'no',
    };
    this.pendingRepeat = false;
    return bar;
  }

  private endLine(open: OpenBar | null, line: number, endColumn: number): void {
    if (!open) return;
    if (!open.touched) {
      this.pendingRepeat = open.repeatStart;
      return;
    }
    this.errors.push({
      code: 'tune/bar-unclosed',
      place: { line, column: endColumn, bar: this.numberOf() },
      data: {},
    });
    this.close(open, 0);
  }

  private close(open: OpenBar, repeatEnd: number): void {
    if (this.sections.length === 0) this.startSection('', open.place);
    const section = this.sections[this.sections.length - 1] as SectionDraft;
    this.meter = open.meter ?? this.meter;
    const isPickup = this.pickup > 0 && this.numberOf() === 0;
    if (isPickup && open.length !== null)
      this.report('tune/pickup', open.place, { reason: 'length' });
    const length = isPickup ? this.pickup : (open.length ?? barTicks(this.meter));
    const harmony = this.harmonyOf(open, length);
    this.before = this.fromItsStart(harmony);
    this.beforeLength = length;
    this.sounding = harmony[harmony.length - 1]?.harmony ?? this.sounding;
    section.bars.push({
      meter: open.meter,
      length,
      harmony,
      melody: [],
      repeatStart: open.repeatStart,
      repeatEnd,
      endings: open.endings,
      marks: open.marks,
      jump: open.jump,
    });
    section.places.push(open.place);
    this.count++;
  }

  /** A repeated bar sounds as it sounded, also where it began with the chord before it. */
  private fromItsStart(harmony: readonly HarmonyEvent[]): readonly HarmonyEvent[] {
    if (harmony[0]?.at === 0 || !this.sounding || harmony.length === 0) return harmony;
    return [{ at: 0, harmony: this.sounding }, ...harmony];
  }

  private harmonyOf(open: OpenBar, length: Ticks): HarmonyEvent[] {
    const { signs } = open;
    if (signs.length === 0) return [];
    const simile = signs.find((sign) => sign.kind === 'simile');
    if (simile) return this.simileOf(simile, signs, length);
    const chords = signs.filter((sign) => sign.kind === 'chord');
    const starts = chords.some((chord) => chord.beat !== null)
      ? this.startsByBeat(chords, length)
      : this.startsByOrder(signs, length, open.place);
    const events: HarmonyEvent[] = [];
    chords.forEach((chord, i) => {
      const at = starts[i];
      const harmony = this.chordOf(chord);
      if (at !== undefined && harmony) events.push({ at, harmony });
    });
    return events;
  }

  private simileOf(simile: Sign, signs: readonly Sign[], length: Ticks): HarmonyEvent[] {
    const reason =
      signs.length > 1
        ? 'not-alone'
        : this.before === null
          ? 'first'
          : this.beforeLength !== length
            ? 'length'
            : null;
    if (reason) {
      this.report('tune/simile', simile, { reason });
      return [];
    }
    return [...(this.before ?? [])];
  }

  /** Starts of the chords where each token is a beat, or where the chords share the bar. */
  private startsByOrder(signs: readonly Sign[], length: Ticks, place: TextPlace): Ticks[] {
    const step = this.stepOf(signs, length);
    if (step === null) {
      this.reportDivision(signs, length, place);
      return signs[0]?.kind === 'chord' ? [0] : [];
    }
    return signs.flatMap((sign, i) => (sign.kind === 'chord' ? [i * step] : []));
  }

  /** Ticks each token stands for; null where the bar cannot be shared out that way. */
  private stepOf(signs: readonly Sign[], length: Ticks): Ticks | null {
    const beat = beatTicks(this.meter);
    const unit = 3840 / this.meter.unit;
    const count = signs.length;
    if (count * beat === length) return beat;
    if (beat !== unit && count * unit === length) return unit;
    const held = signs.some((sign) => sign.kind === 'hold');
    if (held) return null;
    if (count === 1) return length;
    return length % (count * beat) === 0 ? length / count : null;
  }

  private reportDivision(signs: readonly Sign[], length: Ticks, place: TextPlace): void {
    const first = signs[0] ?? place;
    this.report('tune/bar-division', first, {
      reason: 'count',
      tokens: signs.length,
      beats: length / beatTicks(this.meter),
      meter: meterName(this.meter),
      text: short(
        signs
          .slice(0, 40)
          .map(({ text }) => text)
          .join(' '),
      ),
    });
  }

  /** Starts of the chords where the text names the beat, as in `F7@2+1/2`. */
  private startsByBeat(chords: readonly ChordToken[], length: Ticks): (Ticks | undefined)[] {
    let last = -1;
    return chords.map((chord) => {
      const beat = chord.beat ?? { over: 1, under: 1 };
      const from1 = ticksOf(beat, beatTicks(this.meter));
      const at = from1 === null ? null : from1 - beatTicks(this.meter);
      if (at === null || at <= last || at >= length) {
        this.report('tune/bar-division', chord, { reason: 'beat', text: chord.text });
        return undefined;
      }
      last = at;
      return at;
    });
  }

  private chordOf(chord: ChordToken): Harmony | null {
    const read = parseChord(chord.symbol);
    if (read.ok) return read.value;
    this.report(
      'tune/chord',
      { line: chord.line, column: chord.column + read.error.offset },
      { text: short(chord.symbol), reason: read.error.code, offset: read.error.offset },
    );
    return null;
  }

  /** Number of the bar being read, as counted down the page: a pickup is 0. */
  private numberOf(): number {
    return this.pickup > 0 ? this.count : this.count + 1;
  }

  private report(
    code: TuneErrorCode,
    at: TextPlace,
    data: Readonly<Record<string, string | number>>,
  ): void {
    const bar = this.numberOf();
    this.errors.push({ code, place: { line: at.line, column: at.column, bar }, data });
  }
}

/** What was found, short enough for a sentence. */
function short(text: string): string {
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}
