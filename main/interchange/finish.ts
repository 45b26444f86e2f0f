import { symbolOf } from '../../shared-core/chord/format.ts';
import { plainly } from '../../shared-core/pitch/copyist.ts';
import { alterOf, midiOf, type Pitch, pitchAt } from '../../shared-core/pitch/spelled.ts';
import {
  barTicks,
  type Meter,
  meterName,
  sameMeter,
  TICKS_PER_QUARTER,
  type Ticks,
} from '../../shared-core/time/meter.ts';
import { MELODY_HIGHEST, MELODY_LOWEST } from '../../shared-core/tune/melody.ts';
import { tuneMessage } from '../../shared-core/tune/messages.ts';
import type {
  HarmonyEvent,
  MelodyEvent,
  Section,
  Tune,
  TuneError,
  WrittenBar,
} from '../../shared-core/tune/model.ts';
import { UNTITLED } from '../../shared-core/tune/read.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';
import type { Draft, DraftBar, Warnings } from './draft.ts';
import { Refusal } from './errors.ts';
import { holdLimit, LIMITS } from './limits.ts';

/** A tune taken from a file, and what its reader has to say about it. */
export interface ImportedTune {
  readonly tune: Tune;
  readonly warnings: readonly string[];
}

/**
 * Makes a draft fit the tune model: bars without length are dropped, bars too long for their meter get
 * one of their own, the melody becomes one voice, and signs of the form that cannot be played are left
 * out. All that is changed is said in the warnings.
 */
export function finishTune(draft: Draft): ImportedTune {
  const bars = draft.bars.filter((bar) => bar.length > 0);
  if (bars.length === 0) {
    throw new Refusal(
      'import/no-bars',
      'there are no bars in it. Choose a file that holds a tune.',
    );
  }
  holdLimit(bars.length, LIMITS.bars, 'bars');
  const first = bars[0] as DraftBar;
  const pickup = first.length < barTicks(first.meter) && bars.length > 1 ? first.length : 0;
  const meters = metersOf(bars, draft.warnings, pickup > 0);
  const melodies = oneVoice(bars, draft.warnings);
  const written = bars.map((bar, i) =>
    writtenBar(bar, i, meters, melodies[i] ?? [], pickup > 0 ? i : i + 1, draft.warnings),
  );
  const tune: Tune = {
    title: clean(draft.title) ?? UNTITLED,
    credit: clean(draft.credit),
    key: draft.key,
    meter: meters[0] ?? first.meter,
    tempo: draft.tempo,
    feel: clean(draft.feel),
    form: null,
    pickup,
    sections: sectionsOf(bars, written),
  };
  const playable = withPlayableForm(withForm(tune, draft), draft.warnings);
  if (!bars.some((bar) => bar.harmony.length > 0)) {
    draft.warnings.add('There are no chord symbols in it; write the chords in.');
  }
  return { tune: playable, warnings: draft.warnings.all() };
}

/** Text of one line without control characters; null where nothing is left. */
function clean(text: string | null): string | null {
  const line = (text ?? '').replace(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ').trim();
  return line === '' ? null : line.slice(0, 300).trim();
}

/** The meter of each bar; a bar longer than its meter gets a meter that is as long as it is. */
function metersOf(bars: readonly DraftBar[], warnings: Warnings, hasPickup: boolean): Meter[] {
  return bars.map((bar, i) => {
    if (bar.length <= barTicks(bar.meter)) return bar.meter;
    const number = hasPickup ? i : i + 1;
    const fitting = meterOfLength(bar.length, bar.meter);
    if (!fitting) {
      warnings.add(`Bar ${number} is longer than ${meterName(bar.meter)}; it was cut to fit.`);
      bar.length = barTicks(bar.meter);
      return bar.meter;
    }
    warnings.add(
      `Bar ${number} is longer than ${meterName(bar.meter)}; it was read as ${meterName(fitting)}.`,
    );
    return fitting;
  });
}

function meterOfLength(length: Ticks, near: Meter): Meter | null {
  for (const unit of [near.unit, 4, 8, 16, 32]) {
    const count = length / ((TICKS_PER_QUARTER * 4) / unit);
    if (Number.isInteger(count) && count <= 32) return { count, unit };
  }
  return null;
}

function writtenBar(
  bar: DraftBar,
  index: number,
  meters: readonly Meter[],
  melody: readonly MelodyEvent[],
  number: number,
  warnings: Warnings,
): WrittenBar {
  const meter = meters[index] ?? bar.meter;
  const before = meters[index - 1];
  return {
    meter: before && !sameMeter(before, meter) ? meter : null,
    length: bar.length,
    harmony: harmonyOf(bar, number, warnings),
    melody,
    repeatStart: bar.repeatStart,
    repeatEnd: bar.repeatEnd,
    endings: bar.endings,
    marks: [...bar.marks],
    jump: bar.jump,
  };
}

/** In order of time; of two chords stacked at one place the first one counts. */
function harmonyOf(bar: DraftBar, number: number, warnings: Warnings): HarmonyEvent[] {
  const byPlace = new Map<Ticks, HarmonyEvent>();
  for (const event of bar.harmony) {
    if (event.at >= bar.length) continue;
    const first = byPlace.get(event.at);
    if (first === undefined) byPlace.set(event.at, event);
    else if (symbolOf(first.harmony) !== symbolOf(event.harmony)) {
      warnings.add(
        `Bar ${number}: ${symbolOf(event.harmony)} stands at the same place as ${symbolOf(first.harmony)} and was left out.`,
      );
    }
  }
  return [...byPlace.values()].sort((a, b) => a.at - b.at);
}

/** The melody of each bar as one voice: of notes struck together the highest, each ending where the next begins. */
function oneVoice(bars: readonly DraftBar[], warnings: Warnings): MelodyEvent[][] {
  let left = 0;
  let outside = 0;
  let start = 0;
  const starts: Ticks[] = [];
  const all: MelodyEvent[] = [];
  for (const bar of bars) {
    starts.push(start);
    const notes = bar.notes.filter(({ at, length }) => at >= 0 && at < bar.length && length > 0);
    left += bar.notes.length - notes.length;
    for (const note of notes) {
      const pitch = writable(note.pitch);
      if (pitch) all.push({ ...note, pitch, at: start + note.at });
      else outside++;
    }
    start += bar.length;
  }
  all.sort((a, b) => a.at - b.at || midiOf(b.pitch) - midiOf(a.pitch));
  const voice: MelodyEvent[] = [];
  for (const note of all) {
    const last = voice[voice.length - 1];
    if (last && last.at === note.at) {
      left++;
      continue;
    }
    if (last && last.at + last.length > note.at) {
      voice[voice.length - 1] = { ...last, length: note.at - last.at };
    }
    voice.push(note);
  }
  if (left > 0) {
    const which = left === 1 ? 'One note' : `${left} notes`;
    warnings.add(`${which} beside the top voice of the melody left out.`);
  }
  if (outside > 0) {
    const which = outside === 1 ? 'One note' : `${outside} notes`;
    warnings.add(`${which} too low or too high for any melody left out.`);
  }
  return byBar(voice, starts, start);
}

/** A pitch as a melody is written: with two accidentals at most; null where no melody goes. */
function writable(pitch: Pitch): Pitch | null {
  const midi = midiOf(pitch);
  if (midi < MELODY_LOWEST || midi > MELODY_HIGHEST) return null;
  return Math.abs(alterOf(pitch.pc)) > 2 ? pitchAt(midi, plainly(pitch.pc)) : pitch;
}

function byBar(
  voice: readonly MelodyEvent[],
  starts: readonly Ticks[],
  end: Ticks,
): MelodyEvent[][] {
  const bars: MelodyEvent[][] = starts.map(() => []);
  let bar = 0;
  for (const note of voice) {
    while ((starts[bar + 1] ?? Number.POSITIVE_INFINITY) <= note.at) bar++;
    bars[bar]?.push({
      ...note,
      at: note.at - (starts[bar] ?? 0),
      length: Math.min(note.length, end - note.at),
    });
  }
  return bars;
}

/** Sections at the bars that carry a name. */
function sectionsOf(bars: readonly DraftBar[], written: readonly WrittenBar[]): Section[] {
  const sections: { label: string; bars: WrittenBar[] }[] = [];
  written.forEach((bar, i) => {
    const label = labelOf(bars[i]?.label ?? null);
    if (sections.length === 0 || label !== null) sections.push({ label: label ?? '', bars: [] });
    sections[sections.length - 1]?.bars.push(bar);
  });
  return sections;
}

function labelOf(label: string | null): string | null {
  const text = clean(label)
    ?.replace(/[[\]|,]/gu, ' ')
    .replace(/\s+/gu, ' ')
    .trim();
  return text ? text.slice(0, 40).trim() : null;
}

/** Takes the form over where it names sections that are there, each once. */
function withForm(tune: Tune, draft: Draft): Tune {
  if (!draft.form || draft.form.length === 0) return tune;
  const labels = tune.sections.map((section) => section.label);
  const known = draft.form.every((name) => labels.filter((label) => label === name).length === 1);
  if (known) return { ...tune, form: draft.form };
  draft.warnings.add(
    `The form ${draft.form.join(' ')} names parts that are not there once each; the parts run as written.`,
  );
  return tune;
}

/** Leaves out, one by one, the signs of the form that cannot be played. */
function withPlayableForm(tune: Tune, warnings: Warnings): Tune {
  let current = tune;
  for (let tries = 0; tries < 64; tries++) {
    const chorus = unroll(current);
    if (chorus.ok) return current;
    const next = withoutSign(current, chorus.error);
    warnings.add(`${tuneMessage(withoutPage(chorus.error))} The sign was left out.`);
    if (!next) break;
    current = next;
  }
  warnings.add('The repeats and jumps could not be made out; the bars run as written.');
  const sections = current.sections.map((section) => ({
    ...section,
    bars: section.bars.map(plainBar),
  }));
  return { ...current, form: null, sections };
}

function plainBar(bar: WrittenBar): WrittenBar {
  return { ...bar, repeatStart: false, repeatEnd: 0, endings: [], marks: [], jump: null };
}

function withoutPage(error: TuneError): TuneError {
  const { page: _page, ...data } = error.data;
  return { ...error, data };
}

function withoutSign(tune: Tune, error: TuneError): Tune | null {
  const page = error.data.page;
  if (typeof page !== 'number') return null;
  let index = 0;
  const sections = tune.sections.map((section) => ({
    ...section,
    bars: section.bars.map((bar) => (index++ === page ? withoutFault(bar, error) : bar)),
  }));
  return { ...tune, sections };
}

function withoutFault(bar: WrittenBar, error: TuneError): WrittenBar {
  switch (error.code) {
    case 'tune/ending':
      return { ...bar, endings: [] };
    case 'tune/repeat':
      return { ...bar, repeatStart: false };
    case 'tune/jump':
    case 'tune/form-endless':
      return error.data.reason === 'long' ? plainBar(bar) : { ...bar, jump: null };
    default:
      return bar;
  }
}
