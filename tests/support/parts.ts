import fc from 'fast-check';
import type { Analysis } from '../../shared-core/analysis/model.ts';
import type { Band, Chair } from '../../shared-core/arrangement/band.ts';
import { emptyArrangement } from '../../shared-core/arrangement/fold.ts';
import type {
  ArrangementState,
  ChorusPlan,
  Direction,
  Layer,
  Placement,
} from '../../shared-core/arrangement/model.ts';
import { buildPart, type PartOptions } from '../../shared-core/parts/build.ts';
import type { Part } from '../../shared-core/parts/model.ts';
import type { Key } from '../../shared-core/pitch/key.ts';
import type { Tune } from '../../shared-core/tune/model.ts';
import { readTune } from '../../shared-core/tune/read.ts';
import { unroll } from '../../shared-core/tune/unroll.ts';
import { harmonyOf } from './chord.ts';

/** Tunes, arrangements and bands for tests of parts and charts; all invented. */

/** The band of the tests. */
export const BAND: Band = {
  id: 'band',
  name: 'Test band',
  chairs: [
    chair('guitar', 'Guitar', 'electric-guitar', 'comping', 0),
    chair('piano', 'Piano', 'piano', 'comping', 1),
    chair('tenor', 'Tenor saxophone', 'tenor-sax', 'soloist', 2),
    chair('alto', 'Alto saxophone', 'alto-sax', 'soloist', 3),
    chair('trumpet', 'Trumpet', 'trumpet-bb', 'soloist', 4),
    chair('trombone', 'Trombone', 'trombone', 'soloist', 5),
    chair('bass', 'Double bass', 'double-bass', 'bass', 6),
    chair('drums', 'Drums', 'drums', 'drums', 7),
  ],
};

function chair(
  id: string,
  name: string,
  instrument: string,
  role: Chair['role'],
  order: number,
): Chair {
  return { id, name, instrument, role, order };
}

/** A chair of {@link BAND}. */
export function chairOf(id: string): Chair {
  const found = BAND.chairs.find((candidate) => candidate.id === id);
  if (!found) throw new Error(`No chair ${id}`);
  return found;
}

/** A tune with its chorus, as parts need it. */
export interface KnownTune {
  readonly tune: Tune;
  readonly analysis: Analysis;
}

/** Reads a tune a test writes; throws when anything in it is wrong. */
export function tuneOf(text: string, key?: Key): KnownTune {
  const { tune, errors } = readTune(text);
  if (!tune || errors.length > 0) throw new Error(`Not a tune: ${JSON.stringify(errors)}\n${text}`);
  const chorus = unroll(tune);
  if (!chorus.ok) throw new Error(`No form: ${JSON.stringify(chorus.error)}\n${text}`);
  const analysis: Analysis = {
    key: key ?? tune.key ?? { tonic: 0, mode: 'major' },
    keyInferred: tune.key === null,
    formType: null,
    chorus: chorus.value,
    chords: [],
    spans: [],
    cadences: [],
  };
  return { tune, analysis };
}

/** One rewrite a test places: bars count from 1, beats are quarters. */
export interface TestPlacement {
  readonly chorus: number;
  readonly layer: Layer;
  readonly bar: number;
  /** `[beats, symbol]` in order. */
  readonly changes: readonly (readonly [number, string])[];
  readonly tells?: number;
  readonly home?: number;
  readonly verdict?: 'fine over the top' | 'tell the rhythm section' | 'the band must follow';
}

/** An arrangement with labels and rewrites. */
export function arrangementOf(
  known: KnownTune,
  labels: readonly (string | null)[],
  placements: readonly TestPlacement[] = [],
  directions: readonly Omit<Direction, 'id' | 'chorus'>[] = [],
): ArrangementState {
  const empty = emptyArrangement('Test version', labels.length);
  const plans = Object.values(empty.choruses).sort((a, b) => a.order - b.order);
  const choruses: Record<string, ChorusPlan> = {};
  for (const plan of plans) choruses[plan.id] = { ...plan, label: labels[plan.order] ?? null };
  const idOf = (chorus: number): string => plans[chorus - 1]?.id ?? '';
  const placed = placements.map((row, index) => placementOf(known, row, idOf(row.chorus), index));
  return {
    ...empty,
    choruses,
    placements: Object.fromEntries(placed.map((placement) => [placement.id, placement])),
    directions: Object.fromEntries(
      directions.map((row, index) => [`d${index}`, { ...row, id: `d${index}`, chorus: idOf(1) }]),
    ),
  };
}

function placementOf(
  known: KnownTune,
  row: TestPlacement,
  chorus: string,
  index: number,
): Placement {
  const start = known.analysis.chorus.bars.find((bar) => bar.number === row.bar)?.start ?? 0;
  let at = 0;
  const changes = row.changes.map(([beats, symbol]) => {
    const change = { at, length: beats * 960, harmony: harmonyOf(symbol) };
    at += beats * 960;
    return change;
  });
  const judged = row.tells !== undefined || row.verdict !== undefined;
  return {
    id: `p${index}`,
    chorus,
    layer: row.layer,
    start,
    length: at,
    changes,
    origin: judged
      ? {
          kind: 'proposal',
          proposal: `p${index}`,
          device: 'minor-four',
          degree: 'seventh',
          span: 's',
          verdict: row.verdict ?? 'fine over the top',
          tells: row.tells ?? null,
          home: row.home ?? null,
          reason: 'for the test',
        }
      : { kind: 'hand' },
  };
}

/** The part of one chair. */
export function partOf(
  known: KnownTune,
  state: ArrangementState,
  id: string,
  options: PartOptions = {},
): Part {
  return buildPart({ ...known, state, chair: chairOf(id), band: BAND, options });
}

const SYMBOLS = [
  'C',
  'Dm7',
  'G7',
  'Cmaj7',
  'Fm6',
  'Bb7',
  'Ebmaj7',
  'A7b9',
  'F#m7b5',
  'B7#5#9',
  'Ab13#11',
  'Edim7',
  'Gsus4',
  'C/E',
  'Bbm7/Ab',
  'D#sus2/F',
  'N.C.',
  'E7alt',
  'Db6/9',
  'Cm(maj7)',
];

const BEATS: Readonly<Record<string, number>> = { '4/4': 4, '3/4': 3, '6/8': 2, '5/4': 5 };

/** Bars of tune text in a meter. */
function barText(beats: number): fc.Arbitrary<string> {
  const one = fc.constantFrom(...SYMBOLS);
  const full = fc
    .tuple(
      one,
      fc.array(fc.option(one, { freq: 2 }), { minLength: beats - 1, maxLength: beats - 1 }),
    )
    .map(([first, rest]) => [first, ...rest.map((symbol) => symbol ?? '/')].join(' '));
  return fc.oneof(
    { weight: 4, arbitrary: one },
    { weight: 1, arbitrary: fc.constant('') },
    { weight: 2, arbitrary: full },
  );
}

const FORMS = ['A', 'A A', 'A A B A', 'A B A B', 'A A A B', 'B A A'];

/** Any tune in a few meters and forms. */
export const anyTune: fc.Arbitrary<KnownTune> = fc
  .record({
    meter: fc.constantFrom('4/4', '3/4', '6/8', '5/4'),
    key: fc.constantFrom('C major', 'Eb major', 'F# minor', 'Db major', 'B major', 'G minor'),
    form: fc.constantFrom(...FORMS),
  })
  .chain(({ meter, key, form }) => {
    const bars = fc.array(barText(BEATS[meter] ?? 4), { minLength: 1, maxLength: 8 });
    return fc
      .tuple(bars, bars)
      .map(([a, b]) =>
        tuneOf(
          `title: Any\nkey: ${key}\nmeter: ${meter}\nform: ${form}\n\n[A]\n| ${a.join(' | ')} |\n[B]\n| ${b.join(' | ')} |\n`,
        ),
      );
  });

/** Any arrangement of a tune: one to six choruses, some of them alike, rewrites in both layers. */
export function anyArrangement(known: KnownTune): fc.Arbitrary<ArrangementState> {
  const { bars } = known.analysis.chorus;
  const rewrite = fc.record({
    layer: fc.constantFrom<Layer>('band', 'soloist'),
    bar: fc.integer({ min: 0, max: bars.length - 1 }),
    symbols: fc.array(fc.constantFrom(...SYMBOLS), { minLength: 1, maxLength: 3 }),
    verdict: fc.constantFrom<NonNullable<TestPlacement['verdict']>>(
      'fine over the top',
      'tell the rhythm section',
      'the band must follow',
    ),
  });
  const chorus = fc.array(rewrite, { maxLength: 3 });
  return fc
    .tuple(
      fc.array(chorus, { minLength: 1, maxLength: 3 }),
      fc.array(fc.integer({ min: 0, max: 2 }), { minLength: 1, maxLength: 6 }),
      fc.constantFrom<(string | null)[]>(
        ['Head', 'Solo', null],
        ['Tenor saxophone solo', 'Trombone solo', 'Alto solo'],
        ['Alto solo', 'Alto solo', 'Open'],
      ),
    )
    .map(([kinds, order, labels]) => {
      const placements: Placement[] = [];
      const empty = emptyArrangement('Any', order.length);
      const plans = Object.values(empty.choruses).sort((a, b) => a.order - b.order);
      const choruses: Record<string, ChorusPlan> = {};
      plans.forEach((plan, index) => {
        const kind = (order[index] ?? 0) % kinds.length;
        choruses[plan.id] = { ...plan, label: labels[kind] ?? null };
        const taken = new Set<string>();
        (kinds[kind] ?? []).forEach((row, at) => {
          const bar = bars[row.bar];
          if (!bar || taken.has(`${row.layer} ${row.bar}`)) return;
          taken.add(`${row.layer} ${row.bar}`);
          placements.push(anyPlacement(`${plan.id}-${at}`, plan.id, row, bar));
        });
      });
      return {
        ...empty,
        choruses,
        placements: Object.fromEntries(placements.map((placement) => [placement.id, placement])),
      };
    });
}

function anyPlacement(
  id: string,
  chorus: string,
  row: {
    readonly layer: Layer;
    readonly symbols: readonly string[];
    readonly verdict: NonNullable<TestPlacement['verdict']>;
  },
  bar: { readonly start: number; readonly length: number },
): Placement {
  const beat = 480;
  const count = Math.min(row.symbols.length, bar.length / beat);
  const each = Math.floor(bar.length / beat / count) * beat;
  const changes = row.symbols.slice(0, count).map((symbol, index) => ({
    at: index * each,
    length: index === count - 1 ? bar.length - index * each : each,
    harmony: harmonyOf(symbol),
  }));
  return {
    id,
    chorus,
    layer: row.layer,
    start: bar.start,
    length: bar.length,
    changes,
    origin: {
      kind: 'proposal',
      proposal: id,
      device: 'backdoor',
      degree: 'seventh',
      span: 's',
      verdict: row.verdict,
      tells: -4,
      home: 1,
      reason: 'for the test',
    },
  };
}
