import { symbolOf } from '../chord/format.ts';
import { fitsEnding } from './endings.ts';
import type { PartHarmony, PartMeasure } from './model.ts';

/**
 * Prints sections of one chorus that follow each other and are alike (but for their last bars) once,
 * between repeat signs: A A B A becomes |: A :| B A. The bars come from one chorus, so nothing is
 * repeated that differs in any way, cues included.
 */
export function foldSections(measures: readonly PartMeasure[]): readonly PartMeasure[] {
  const sections = split(measures);
  const out: PartMeasure[] = [];
  for (let at = 0; at < sections.length; ) {
    const { measures: folded, count } = foldRun(sections, at);
    out.push(...folded);
    at += count;
  }
  return out;
}

function split(measures: readonly PartMeasure[]): PartMeasure[][] {
  const sections: PartMeasure[][] = [];
  for (const measure of measures) {
    const last = sections.at(-1);
    if (last && measure.rehearsal === null) last.push(measure);
    else sections.push([measure]);
  }
  return sections;
}

/** The longest run of like sections from `at`, folded; one section as it is when nothing is alike. */
function foldRun(
  sections: readonly PartMeasure[][],
  at: number,
): { readonly measures: readonly PartMeasure[]; readonly count: number } {
  const first = sections[at] ?? [];
  let same = 1;
  while (first.length > 1 && isCopy(first, sections[at + same])) same++;
  if (same > 1) {
    const last = first.length - 1;
    const measures = first.map((measure, index) => ({
      ...measure,
      repeatStart: index === 0,
      repeatEnd: index === last ? same : 0,
    }));
    return { measures, count: same };
  }
  const second = sections[at + 1] ?? [];
  const shared = alike(first, second);
  const tails = [first.length - shared, second.length - shared];
  const fits =
    second.length === first.length &&
    tails.every((tail) => tail > 0 && fitsEnding(tail, first.length)) &&
    shared > 0;
  if (!fits) return { measures: first, count: 1 };
  const measures = [
    ...first.slice(0, shared).map((measure, index) => ({ ...measure, repeatStart: index === 0 })),
    ...markEnding(first.slice(shared), [1], { again: true, times: 2 }),
    ...markEnding(second.slice(shared), [2], { again: false, times: 2 }),
  ];
  return { measures, count: 2 };
}

/** Bars from the start in which two sections of one name are the same on paper. */
function alike(a: readonly PartMeasure[], b: readonly PartMeasure[] | undefined): number {
  if (!b || a[0]?.rehearsal !== b[0]?.rehearsal) return 0;
  const at = a.findIndex((measure, index) => {
    const other = b[index];
    return !other || paper(measure) !== paper(other);
  });
  return at < 0 ? a.length : at;
}

/** Whether `b` is `a` again and no more: a longer section that begins like `a` is another section. */
function isCopy(a: readonly PartMeasure[], b: readonly PartMeasure[] | undefined): boolean {
  return b?.length === a.length && alike(a, b) === a.length;
}

/** Everything a reader sees of a bar but its number. */
function paper(measure: PartMeasure): string {
  const chords = (list: readonly PartHarmony[] | null): unknown =>
    list?.map(({ at, harmony }) => `${at} ${symbolOf(harmony)}`) ?? null;
  const { carriedBand, carriedSolo, events, directions, meter, length, voicings } = measure;
  return JSON.stringify([
    chords(measure.band),
    chords(measure.solo),
    carriedBand && symbolOf(carriedBand),
    carriedSolo && symbolOf(carriedSolo),
    events,
    measure.cues.map((cue) => [cue.at, cue.words, chords(cue.harmonies), cue.choruses]),
    directions,
    measure.scales,
    meter,
    length,
    voicings,
  ]);
}

/** Puts a bracket with its numbers over bars; `again` goes back at its end. */
export function markEnding(
  measures: readonly PartMeasure[],
  passes: readonly number[],
  repeat: { readonly again: boolean; readonly times: number },
): PartMeasure[] {
  const last = measures.length - 1;
  return measures.map((measure, index) => ({
    ...measure,
    endings: passes,
    endingStart: index === 0,
    endingStop: index === last,
    repeatEnd: index === last && repeat.again ? repeat.times : 0,
  }));
}

/** Repeat signs round a form played more than once. */
export function repeated(measures: readonly PartMeasure[], times: number): PartMeasure[] {
  const last = measures.length - 1;
  return measures.map((measure, index) => ({
    ...measure,
    repeatStart: index === 0,
    repeatEnd: index === last ? times : 0,
  }));
}

/** Bars with the last one's bar line. */
export function closed(
  measures: readonly PartMeasure[],
  barline: PartMeasure['barline'],
): readonly PartMeasure[] {
  return measures.map((measure, index) =>
    index === measures.length - 1 ? { ...measure, barline } : measure,
  );
}
