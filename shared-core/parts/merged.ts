import type { BarContent } from './content.ts';
import type { PartCue, PartDirection, PartEvent, PartMeasure } from './model.ts';

type Bars = readonly (readonly BarContent[])[];

/**
 * One bar for the same bar of several choruses. Cues and instructions that not every chorus of `all`
 * has say which; an instruction they all share changes the notes where it does.
 */
export function mergedMeasures(
  run: Bars,
  numbers: readonly number[],
  all: readonly number[],
): PartMeasure[] {
  const form = run[0] ?? [];
  return form.map((content, index) => {
    const column = run.map((chorus) => chorus[index] ?? content);
    return measureOf(content, {
      cues: mergedCues(column, numbers, all),
      directions: mergedDirections(column, numbers, all),
      events: sharedEvents(column) ?? content.events,
    });
  });
}

export function measureOf(
  content: BarContent,
  words: Pick<PartMeasure, 'cues' | 'directions' | 'events'>,
): PartMeasure {
  const { bar } = content;
  return {
    index: bar.index,
    number: bar.number,
    meter: bar.meter,
    length: bar.length,
    rehearsal: bar.startsSection && bar.label !== '' ? bar.label : null,
    carriedBand: content.band.carried,
    carriedSolo: content.solo?.carried ?? null,
    band: content.band.chords,
    solo: content.solo?.chords ?? null,
    scales: content.scales,
    voicings: content.voicings,
    repeatStart: false,
    repeatEnd: 0,
    endings: [],
    endingStart: false,
    endingStop: false,
    barline: 'single',
    ...words,
  };
}

/** Groups equal things of a column of bars with the choruses that have them; null when all have them. */
function byChorus<T>(
  column: readonly (readonly T[])[],
  numbers: readonly number[],
  all: readonly number[],
): readonly { readonly thing: T; readonly choruses: readonly number[] | null }[] {
  const groups = new Map<string, { thing: T; choruses: number[] }>();
  column.forEach((things, index) => {
    for (const thing of things) {
      const key = JSON.stringify(thing);
      const group = groups.get(key) ?? { thing, choruses: [] };
      const number = numbers[index] ?? 0;
      // Two rewrites that meet in a bar may ask for the same thing: it is said once.
      if (group.choruses.at(-1) !== number) group.choruses.push(number);
      groups.set(key, group);
    }
  });
  return [...groups.values()].map(({ thing, choruses }) => ({
    thing,
    choruses: choruses.length === all.length ? null : choruses,
  }));
}

export function mergedCues(
  column: readonly BarContent[],
  numbers: readonly number[],
  all: readonly number[],
): readonly PartCue[] {
  return byChorus(
    column.map((bar) => bar.cues),
    numbers,
    all,
  ).map(({ thing, choruses }) => ({ ...thing, choruses }));
}

export function mergedDirections(
  column: readonly BarContent[],
  numbers: readonly number[],
  all: readonly number[],
): readonly PartDirection[] {
  const begun = column.map((bar) =>
    bar.directions.filter(({ begins }) => begins).map(({ at, words }) => ({ at, words })),
  );
  return byChorus(begun, numbers, all).map(({ thing, choruses }) => ({ ...thing, choruses }));
}

/** What the bar looks like under an instruction that every chorus has here; null where there is none. */
export function sharedEvents(column: readonly BarContent[]): readonly PartEvent[] | null {
  const looks = column.map(
    (bar) => bar.directions.find((direction) => direction.events)?.events ?? null,
  );
  const first = looks[0] ?? null;
  const shared = first && looks.every((look) => JSON.stringify(look) === JSON.stringify(first));
  return shared ? first : null;
}
