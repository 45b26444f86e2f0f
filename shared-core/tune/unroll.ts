import { NO_CHORD } from '../chord/build.ts';
import type { Harmony } from '../chord/model.ts';
import type { Result } from '../result.ts';
import { err, ok } from '../result.ts';
import { barTicks, type Ticks } from '../time/meter.ts';
import type {
  Chorus,
  FormBar,
  TimedHarmony,
  TimedNote,
  Tune,
  TuneError,
  TunePlace,
} from './model.ts';
import { type PageBar, pageNumber, pageOf } from './page.ts';
import { LARGEST_FORM, type RouteFault, routeOf } from './route.ts';

/**
 * Plays the written tune out once through its form: sections in the order of `form`, repeats, endings,
 * D.C., D.S., Fine and Coda. See {@link routeOf} for the rules of the signs.
 *
 * Bars are numbered as players count: the first full bar is 1, a pickup 0; a short bar that fills up
 * the short bar before it (the pickup of a second time round) shares its number.
 * A harmony rings on over bar lines and jumps until the next one; before the first it is N.C. A melody
 * note that would ring into the next one, or past the end, is cut there.
 *
 * @returns the chorus, or `tune/no-bars`, `tune/section`, `tune/repeat`, `tune/ending`, `tune/jump`,
 *   `tune/form-endless` with the bar as numbered down the page
 * @example a tune `|: A |1 B :|2 C :|3 D |` gives bars A B A C A D
 */
export function unroll(tune: Tune): Result<Chorus, TuneError> {
  const page = pageOf(tune);
  if (page.length === 0) return err({ code: 'tune/no-bars', place: {}, data: {} });
  const run = runOf(tune, page);
  if (!run.ok) return run;
  const { bars, bounds } = run.value;
  const route = routeOf(
    bars.map(({ bar }) => bar),
    (index) => (tune.pickup > 0 && !isShort(bars[index]) ? 1 : 0),
    bounds,
  );
  if (!route.ok) return err(errorAt(tune, bars, route.error));
  const played = route.value.map((index) => bars[index] as PageBar);
  const forms = formBars(tune, played);
  const length = forms.reduce((sum, bar) => sum + bar.length, 0);
  return ok({
    bars: forms,
    harmony: harmonyOf(played, forms, length),
    melody: melodyOf(played, forms, length),
    length,
  });
}

/** A run of bars before repeats and jumps are played out, and the places a repeat cannot reach across. */
export interface Run {
  readonly bars: readonly PageBar[];
  readonly bounds: ReadonlySet<number>;
}

/** The bars in the order of `form`, before repeats and jumps; `tune/section` where a section is missing. */
export function runOf(tune: Tune, page: readonly PageBar[] = pageOf(tune)): Result<Run, TuneError> {
  if (page.length > LARGEST_FORM) return err(tooLong({ bar: pageNumber(tune, LARGEST_FORM) }));
  if (!tune.form) return ok({ bars: page, bounds: new Set() });
  const bars: PageBar[] = [];
  const bounds = new Set<number>();
  const places = new Map(tune.sections.map(({ label }, i) => [label, i]));
  const bySection: PageBar[][] = tune.sections.map(() => []);
  for (const bar of page) bySection[bar.section]?.push(bar);
  for (const label of tune.form) {
    const section = places.get(label) ?? -1;
    if (section < 0) {
      return err({
        code: 'tune/section',
        place: { section: label },
        data: { reason: 'missing', label },
      });
    }
    bounds.add(bars.length);
    const own = bySection[section] ?? [];
    const again = tune.pickup > 0 && section === 0 && bars.length > 0;
    const from = again && !isShort(bars[bars.length - 1]) ? 1 : 0;
    for (let i = from; i < own.length; i++) bars.push(own[i] as PageBar);
    if (bars.length > LARGEST_FORM) return err(tooLong({ section: label }));
  }
  return ok({ bars, bounds });
}

function tooLong(place: TunePlace): TuneError {
  return { code: 'tune/form-endless', place, data: { reason: 'long', most: LARGEST_FORM } };
}

/** The pickup is played again only after a bar that is shortened for it. */
function isShort(bar: PageBar | undefined): boolean {
  return bar !== undefined && bar.bar.length < barTicks(bar.meter);
}

function errorAt(tune: Tune, bars: readonly PageBar[], fault: RouteFault): TuneError {
  const at = bars[fault.index];
  const label = at ? tune.sections[at.section]?.label : undefined;
  return {
    code: fault.code,
    place: {
      ...(at ? { bar: pageNumber(tune, at.page) } : {}),
      ...(label ? { section: label } : {}),
    },
    data: { ...fault.data, ...(at ? { page: at.page } : {}) },
  };
}

function formBars(tune: Tune, played: readonly PageBar[]): FormBar[] {
  const forms: FormBar[] = [];
  let start: Ticks = 0;
  let number = 0;
  let filled: Ticks = 0;
  played.forEach(({ section, writtenBar, bar, meter, page }, index) => {
    const isPickup = index === 0 && page === 0 && tune.pickup > 0;
    const whole = barTicks(meter);
    const fillsUp = filled > 0 && filled < whole && filled + bar.length <= whole;
    if (!isPickup && !fillsUp) number++;
    filled = isPickup ? 0 : (fillsUp ? filled : 0) + bar.length;
    const before = played[index - 1];
    const first = tune.pickup > 0 && section === 0 ? 1 : 0;
    const startsSection =
      writtenBar === first || (writtenBar > first && before?.section !== section);
    forms.push({
      index,
      number,
      section,
      writtenBar,
      label: tune.sections[section]?.label ?? '',
      startsSection: startsSection && !isPickup,
      meter,
      start,
      length: bar.length,
    });
    start += bar.length;
  });
  return forms;
}

function harmonyOf(
  played: readonly PageBar[],
  forms: readonly FormBar[],
  length: Ticks,
): TimedHarmony[] {
  const starts: { start: Ticks; harmony: Harmony }[] = [];
  played.forEach(({ bar }, index) => {
    const from = forms[index]?.start ?? 0;
    for (const event of bar.harmony) {
      if (event.at < bar.length) starts.push({ start: from + event.at, harmony: event.harmony });
    }
  });
  if (starts[0]?.start !== 0) starts.unshift({ start: 0, harmony: NO_CHORD });
  return starts.map(({ start, harmony }, i) => ({
    start,
    length: (starts[i + 1]?.start ?? length) - start,
    harmony,
  }));
}

function melodyOf(
  played: readonly PageBar[],
  forms: readonly FormBar[],
  length: Ticks,
): TimedNote[] {
  const notes: TimedNote[] = [];
  played.forEach(({ bar }, index) => {
    const from = forms[index]?.start ?? 0;
    for (const note of bar.melody) {
      notes.push({ start: from + note.at, length: note.length, pitch: note.pitch });
    }
  });
  return notes.map((note, i) => {
    const limit = notes[i + 1]?.start ?? length;
    return { ...note, length: Math.min(note.length, limit - note.start) };
  });
}
