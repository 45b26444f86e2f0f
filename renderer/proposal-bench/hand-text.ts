import type { ArrangementState } from '../../shared-core/arrangement/model.ts';
import { overlay } from '../../shared-core/arrangement/realise.ts';
import { symbolOf } from '../../shared-core/chord/format.ts';
import type { Change } from '../../shared-core/devices/model.ts';
import { barTicks, beatTicks, meterName, type Ticks } from '../../shared-core/time/meter.ts';
import { tuneMessage } from '../../shared-core/tune/messages.ts';
import type {
  Chorus,
  FormBar,
  HarmonyEvent,
  TimedHarmony,
  Tune,
  WrittenBar,
} from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { writeTune } from '../../shared-core/tune/write.ts';

/** Changes typed for some bars: what they say, or what is wrong with each bar. */
export type HandReading =
  | { readonly ok: true; readonly changes: readonly Change[] }
  | { readonly ok: false; readonly problems: readonly HandProblem[] };

/** A mistake in one of the typed bars, counted from 0. */
export interface HandProblem {
  readonly bar: number;
  readonly message: string;
}

/** What a layer of a chorus plays now, over the written changes. Chorus ticks. */
export function standingHarmony(
  chorus: Chorus,
  state: ArrangementState,
  chorusId: string,
  layer: 'band' | 'soloist',
): readonly TimedHarmony[] {
  const mine = Object.values(state.placements).filter((one) => one.chorus === chorusId);
  const laid = (wanted: 'band' | 'soloist') =>
    mine
      .filter((one) => one.layer === wanted)
      .map((placement) => ({
        start: placement.start,
        length: Math.min(placement.length, chorus.length - placement.start),
        placement,
      }));
  const band = overlay(chorus.harmony, laid('band'));
  return layer === 'band' ? band : overlay(band, laid('soloist'));
}

/**
 * One bar of a harmony as people type it: one symbol, symbols that share the bar evenly, or a token a
 * beat with `/` for the beats a chord is held. Written by the writer of tune text, so that both agree.
 */
export function barText(bar: FormBar, harmony: readonly TimedHarmony[]): string {
  const end = bar.start + bar.length;
  const events = harmony
    .filter((one) => one.start < end && one.start + one.length > bar.start)
    .map((one) => ({ at: Math.max(0, one.start - bar.start), harmony: one.harmony }));
  const text = writeTune(tuneOf(bar, events));
  // A bar shorter than its meter says so in brackets; here the bar is given and need not say it.
  return /^\|:?\s*(?:\([^)]*beats?\))?\s*(.*?)\s*:?\|/mu.exec(text)?.[1] ?? '';
}

/** A tune of that one bar. */
function tuneOf(bar: FormBar, harmony: readonly HarmonyEvent[]): Tune {
  const written: WrittenBar = {
    meter: null,
    length: bar.length,
    harmony,
    melody: [],
    repeatStart: false,
    repeatEnd: 0,
    endings: [],
    marks: [],
    jump: null,
  };
  return {
    title: '-',
    credit: null,
    key: null,
    meter: bar.meter,
    tempo: null,
    feel: null,
    form: null,
    pickup: 0,
    sections: [{ label: 'A', bars: [written] }],
  };
}

/**
 * Reads the texts of neighbouring bars, one text a bar, in the spelling of tune text. Ticks of the
 * changes count from the first bar's start.
 */
export function readHand(bars: readonly FormBar[], texts: readonly string[]): HandReading {
  const foreign = texts.findIndex((text) => /[|[\]:\n]/u.test(text));
  if (foreign >= 0) {
    const message = 'Write chord symbols and / only; each bar has its own line here.';
    return { ok: false, problems: [{ bar: foreign, message }] };
  }
  const problems: HandProblem[] = [];
  const changes: Change[] = [];
  let at: Ticks = 0;
  bars.forEach((bar, index) => {
    const text = (texts[index] ?? '').trim();
    const before = changes.at(-1);
    if (text === '' && before) {
      changes[changes.length - 1] = { ...before, length: before.length + bar.length };
    } else if (text === '') {
      problems.push({ bar: index, message: 'The first bar needs a chord.' });
    } else {
      const read = readBar(bar, text);
      if (read.ok)
        for (const change of read.changes) append(changes, { ...change, at: change.at + at });
      else problems.push({ bar: index, message: read.message });
    }
    at += bar.length;
  });
  return problems.length > 0 ? { ok: false, problems } : { ok: true, changes };
}

/** A chord that goes on is one chord, whether its bar was left empty or says it again. */
function append(changes: Change[], change: Change): void {
  const before = changes.at(-1);
  if (before && symbolOf(before.harmony) === symbolOf(change.harmony)) {
    changes[changes.length - 1] = { ...before, length: before.length + change.length };
  } else changes.push(change);
}

type BarReading =
  | { readonly ok: true; readonly changes: readonly Change[] }
  | { readonly ok: false; readonly message: string };

function readBar(bar: FormBar, text: string): BarReading {
  const beats = bar.length / beatTicks(bar.meter);
  const short = bar.length === barTicks(bar.meter) ? '' : `(${beats} beats) `;
  const reading = readTune(`title: -\nmeter: ${meterName(bar.meter)}\n| ${short}${text} |\n`);
  const error = reading.errors[0];
  if (error) return { ok: false, message: withoutLine(tuneMessage(error)) };
  const events = reading.tune?.sections[0]?.bars[0]?.harmony ?? [];
  if (events[0]?.at !== 0) return { ok: false, message: 'Begin the bar with a chord.' };
  return {
    ok: true,
    changes: events.map((event, index) => ({
      at: event.at,
      length: (events[index + 1]?.at ?? bar.length) - event.at,
      harmony: event.harmony,
    })),
  };
}

/** The sentence without its line and column, which are those of a text nobody sees. */
function withoutLine(message: string): string {
  const bare = message.replace(/^line \d+[^:]*: /iu, '');
  return bare.charAt(0).toUpperCase() + bare.slice(1);
}
