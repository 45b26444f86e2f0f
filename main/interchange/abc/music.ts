import { midiOf, type Pitch } from '../../../shared-core/pitch/spelled.ts';
import { barTicks, type Meter, type Ticks } from '../../../shared-core/time/meter.ts';
import type { MelodyEvent } from '../../../shared-core/tune/model.ts';
import { type DraftBar, draftBar, type Warnings } from '../draft.ts';
import { Refusal } from '../errors.ts';
import { holdLimit, LIMITS } from '../limits.ts';
import { endingNumbers, putSign, signOf } from '../signs.ts';
import { readAbcChord } from './chord.ts';
import { readAbcKey } from './key.ts';
import { AbcPitches } from './pitches.ts';
import { readAbcMeter, readUnit } from './values.ts';

/** A tuplet under way: `left` notes still to come, each `over`/`under` as long. */
interface Tuplet {
  left: number;
  readonly over: number;
  readonly under: number;
}

/** Where a note of the melody is kept; strokes tied to it are added to its length. */
interface NotePlace {
  readonly bar: DraftBar;
  readonly index: number;
  readonly midi: number;
}

/**
 * Reads the music lines of one ABC tune (ABC 2.1, chapter 4) into bars. Lengths are kept exact; what is
 * no music (slurs, beams, decorations that are no sign of the form) is passed over.
 */
export class AbcMusic {
  readonly bars: DraftBar[] = [];
  meter: Meter;
  unit: Ticks;
  signature: number;
  private bar: DraftBar;
  private at: Ticks = 0;
  private readonly warnings: Warnings;
  private readonly pitches = new AbcPitches();
  private tuplet: Tuplet | null = null;
  private broken: { readonly over: number; readonly under: number } | null = null;
  /** What was struck last: its note, the length of the stroke alone, and the bar it stands in. */
  private struck: {
    readonly place: NotePlace;
    readonly length: Ticks;
    readonly under: DraftBar;
  } | null = null;
  private tied: NotePlace | null = null;
  private line = 1;
  private readonly unknown = new Set<string>();

  constructor(meter: Meter, unit: Ticks, signature: number, warnings: Warnings) {
    this.meter = meter;
    this.unit = unit;
    this.signature = signature;
    this.warnings = warnings;
    this.bar = draftBar(meter, 0);
  }

  /** Reads one line. `line` is its number in the file, for messages. */
  readLine(text: string, line: number): void {
    this.line = line;
    let index = 0;
    while (index < text.length) index = this.readAt(text, index);
  }

  /** Closes what is open and gives the bars. */
  finish(): DraftBar[] {
    this.closeBar();
    return this.bars;
  }

  /** Names the section that starts here. */
  startSection(label: string): void {
    this.bar.label = label;
  }

  /** A change of meter; counts from the bar it stands in when nothing has been played there. */
  changeMeter(value: string): void {
    const meter = readAbcMeter(value);
    if (!meter) return;
    this.meter = meter;
    if (this.at === 0) this.bar = { ...this.bar, meter };
  }

  /** An inline or body field. */
  readField(name: string, value: string): void {
    if (name === 'M') this.changeMeter(value);
    if (name === 'L') this.unit = readUnit(value) ?? this.unit;
    if (name === 'K') this.signature = readAbcKey(value)?.signature ?? this.signature;
    if (name === 'P') this.startSection(value.trim());
  }

  private readAt(text: string, index: number): number {
    for (const [pattern, read] of this.rules) {
      pattern.lastIndex = index;
      const match = pattern.exec(text);
      if (!match) continue;
      read(match);
      return index + match[0].length;
    }
    return index + 1;
  }

  private readonly rules: readonly (readonly [RegExp, (match: RegExpExecArray) => void])[] = [
    [/"([^"]{0,200})"/y, (m) => this.readQuoted(m[1] ?? '')],
    [/!([^!]{0,60})!/y, (m) => this.readDecoration(m[1] ?? '')],
    [/\+([A-Za-z.]{2,30})\+/y, (m) => this.readDecoration(m[1] ?? '')],
    [/\[([A-Za-z]):([^\]]{0,200})\]/y, (m) => this.readField(m[1] ?? '', m[2] ?? '')],
    [/\{[^}]{0,200}\}/y, () => undefined],
    [/(:*)(?:\[\|\]?|\|+\]?|::)(:*)/y, (m) => this.readBarline(m[0])],
    [/:+\|?/y, (m) => this.readBarline(m[0])],
    [/\[?(\d(?:[\d,.-]*\d)?)(?=[^/\d]|$)/y, (m) => this.readEnding(m[1] ?? '')],
    [/\((\d)(?::(\d?))?(?::(\d?))?/y, (m) => this.readTuplet(m)],
    [/\[((?:[_=^]*[A-Ga-g][,']*[\d/]*-?)+)\]([\d/]*)(-?)/y, (m) => this.readChordNotes(m)],
    [/([_=^]{0,2})([A-Ga-g])([,']*)([\d/]*)(-?)/y, (m) => this.readNote(m)],
    [/[zx]([\d/]*)/y, (m) => this.rest(this.lengthOf(m[1] ?? ''))],
    [/[ZX](\d*)/y, (m) => this.restBars(Number(m[1] || 1))],
    [/([<>]+)/y, (m) => this.readBroken(m[1] ?? '')],
  ];

  private readQuoted(text: string): void {
    if (/^[\^_<>@]/u.test(text)) {
      const sign = signOf(text.slice(1));
      if (sign) putSign(this.bar, sign);
      return;
    }
    const name = text.trim();
    if (name === '') return;
    const harmony = readAbcChord(name);
    if (harmony) {
      this.bar.harmony.push({ at: this.at, harmony });
      return;
    }
    const sign = signOf(name);
    if (sign) putSign(this.bar, sign);
    else if (!this.unknown.has(name)) {
      this.unknown.add(name);
      this.warnings.add(`Line ${this.line}: "${name}" is not a chord and was left out.`);
    }
  }

  private readDecoration(text: string): void {
    const words: Readonly<Record<string, string>> = {
      dacapo: 'D.C.',
      dacoda: 'To Coda',
      'D.C.alcoda': 'D.C. al Coda',
      'D.C.alfine': 'D.C. al Fine',
      'D.S.alcoda': 'D.S. al Coda',
      'D.S.alfine': 'D.S. al Fine',
    };
    const sign = signOf(words[text] ?? text);
    if (sign) putSign(this.bar, sign);
  }

  private readBarline(text: string): void {
    const isRepeatEnd = text.startsWith(':');
    const isRepeatStart = text.endsWith(':') && (text.includes('|') || text.length > 1);
    const played = this.at > 0;
    if (isRepeatEnd) {
      const target = played ? this.bar : this.bars[this.bars.length - 1];
      // `::` alone closes and opens; colons before a bar line count the further times.
      const again = text.includes('|') ? (/^:+/u.exec(text)?.[0].length ?? 1) : 1;
      if (target) target.repeatEnd = Math.min(again + 1, LIMITS.passes);
    }
    if (played) this.closeBar();
    if (isRepeatStart) this.bar.repeatStart = true;
  }

  private closeBar(): void {
    this.pitches.newBar();
    this.broken = null;
    if (this.at === 0) return;
    this.bar.length = this.at;
    this.bars.push(this.bar);
    holdLimit(this.bars.length, LIMITS.bars, 'bars');
    this.bar = draftBar(this.meter, 0);
    this.at = 0;
  }

  private readEnding(text: string): void {
    if (this.at === 0) this.bar.endings = endingNumbers(text);
  }

  /** `(3abc`: p notes in the time of q for the next r. Defaults of ABC 2.1, 4.13. */
  private readTuplet(match: RegExpExecArray): void {
    const p = Number(match[1]);
    const compound = this.meter.unit === 8 && this.meter.count % 3 === 0;
    const usual =
      [0, 0, 3, 2, 3, compound ? 3 : 2, 2, compound ? 3 : 2, 3, compound ? 3 : 2][p] ?? 2;
    const q = Number(match[2] || usual);
    if (p < 2) return;
    this.tuplet = { left: Number(match[3] || p), over: q, under: p };
  }

  private lengthOf(text: string): Ticks {
    const [over = '', ...unders] = text.split('/');
    let under = 1;
    for (const part of unders) under *= part === '' ? 2 : Number(part);
    let ticks = (this.unit * Number(over || 1)) / (under || 1);
    if (this.tuplet) {
      ticks = (ticks * this.tuplet.over) / this.tuplet.under;
      this.tuplet.left--;
      if (this.tuplet.left === 0) this.tuplet = null;
    }
    if (this.broken) {
      ticks = (ticks * this.broken.over) / this.broken.under;
      this.broken = null;
    }
    if (!Number.isInteger(ticks)) {
      throw new Refusal(
        'import/abc',
        'a note length here is no fraction that can be played exactly.',
        {
          line: this.line,
        },
      );
    }
    return ticks;
  }

  private rest(length: Ticks): void {
    this.at += length;
    this.struck = null;
    this.tied = null;
  }

  private restBars(count: number): void {
    holdLimit(this.bars.length + count, LIMITS.bars, 'bars');
    for (let n = 0; n < count; n++) {
      this.at += barTicks(this.meter) - (this.at % barTicks(this.meter));
      if (n < count - 1) this.closeBar();
    }
  }

  private readNote(match: RegExpExecArray): void {
    const pitch = this.pitchOf(match);
    this.addNote(pitch, this.lengthOf(match[4] ?? ''), match[5] === '-');
  }

  /** The pitch of a note whose first three groups are accidentals, letter and octaves. */
  private pitchOf([, marks = '', letter = 'C', octaves = '']: RegExpMatchArray): Pitch {
    return this.pitches.pitchOf(marks, letter, octaves, this.signature);
  }

  /** Notes in square brackets sound together: the highest is the melody. */
  private readChordNotes(match: RegExpExecArray): void {
    const inner = [...(match[1] ?? '').matchAll(/([_=^]*)([A-Ga-g])([,']*)([\d/]*)(-?)/gu)];
    const pitches = inner.map((note) => this.pitchOf(note));
    const top = pitches.sort((a, b) => midiOf(b) - midiOf(a))[0];
    const text = match[2] || (inner[0]?.[4] ?? '');
    if (top) this.addNote(top, this.lengthOf(text), match[3] === '-');
  }

  private addNote(pitch: Pitch, length: Ticks, tied: boolean): void {
    const midi = midiOf(pitch);
    let place = this.tied && this.tied.midi === midi ? this.tied : null;
    if (place) {
      const held = place.bar.notes[place.index] as MelodyEvent;
      place.bar.notes[place.index] = { ...held, length: held.length + length };
    } else {
      this.bar.notes.push({ at: this.at, length, pitch });
      place = { bar: this.bar, index: this.bar.notes.length - 1, midi };
    }
    this.tied = tied ? place : null;
    this.struck = { place, length, under: this.bar };
    this.at += length;
  }

  /** `a>b`: the first note takes half of what the second loses, once more for each further sign. */
  private readBroken(signs: string): void {
    const times = 2 ** Math.min(signs.length, 3);
    const long = { over: 2 * times - 1, under: times };
    const short = { over: 1, under: times };
    const [first, second] = signs.startsWith('>') ? [long, short] : [short, long];
    const { struck } = this;
    const note = struck?.place.bar.notes[struck.place.index];
    if (!struck || !note || struck.under !== this.bar) return;
    const more = (struck.length * first.over) / first.under - struck.length;
    if (!Number.isInteger(more)) return;
    struck.place.bar.notes[struck.place.index] = { ...note, length: note.length + more };
    this.at += more;
    this.broken = second;
    this.struck = null;
  }
}
