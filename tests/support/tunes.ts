import fc from 'fast-check';
import { chord, NO_CHORD } from '../../shared-core/chord/build.ts';
import { pitchAt } from '../../shared-core/pitch/spelled.ts';
import { barTicks, beatTicks, type Meter } from '../../shared-core/time/meter.ts';
import type {
  HarmonyEvent,
  MelodyEvent,
  Section,
  Tune,
  WrittenBar,
} from '../../shared-core/tune/model.ts';

const meters: Meter[] = [
  { count: 4, unit: 4 },
  { count: 3, unit: 4 },
  { count: 5, unit: 4 },
  { count: 2, unit: 2 },
  { count: 6, unit: 8 },
  { count: 7, unit: 8 },
  { count: 12, unit: 8 },
];

const harmony = fc.oneof(
  { weight: 1, arbitrary: fc.constant(NO_CHORD) },
  {
    weight: 8,
    arbitrary: fc
      .record({
        root: fc.integer({ min: -8, max: 9 }),
        suffix: fc.constantFrom('', 'm', '7', 'm7', 'maj7', 'm7b5', 'dim7', '7b9', '6/9', '7alt'),
        bass: fc.option(fc.integer({ min: -8, max: 9 })),
        optional: fc.boolean(),
      })
      // A bass that sounds like the root is no bass of its own.
      .map(({ root, suffix, bass, optional }) => ({
        ...chord(root, suffix, bass !== null && (bass - root) % 12 === 0 ? null : bass),
        optional,
      })),
  },
);

/** Chords at distinct places of a bar: mostly on beats, sometimes anywhere. */
function events(length: number, meter: Meter): fc.Arbitrary<HarmonyEvent[]> {
  const beats = Math.max(1, Math.floor(length / beatTicks(meter)));
  const onBeat = fc.integer({ min: 0, max: beats - 1 }).map((beat) => beat * beatTicks(meter));
  const anywhere = fc.integer({ min: 0, max: length - 1 });
  return fc
    .uniqueArray(fc.oneof({ weight: 9, arbitrary: onBeat }, { weight: 1, arbitrary: anywhere }), {
      maxLength: 4,
    })
    .chain((places) =>
      fc
        .tuple(...places.map(() => harmony))
        .map((harmonies) =>
          places.sort((a, b) => a - b).map((at, i) => ({ at, harmony: harmonies[i] ?? NO_CHORD })),
        ),
    );
}

const pitch = fc
  .record({ pc: fc.integer({ min: -8, max: 9 }), octave: fc.integer({ min: 2, max: 6 }) })
  .map(({ pc, octave }) => pitchAt(12 * octave + 12 + ((((pc * 7) % 12) + 12) % 12), pc));

/** One voice over a section, which may ring past its end. */
function melodyOver(length: number): fc.Arbitrary<MelodyEvent[]> {
  return fc
    .uniqueArray(fc.integer({ min: 0, max: length * 4 - 1 }), { maxLength: 8 })
    .chain((quarters) => {
      const starts = quarters.map((n) => Math.floor(n / 4)).sort((a, b) => a - b);
      const unique = [...new Set(starts)];
      return fc
        .tuple(
          fc.tuple(...unique.map(() => pitch)),
          fc.tuple(...unique.map(() => fc.integer({ min: 1, max: 5000 }))),
        )
        .map(([pitches, lengths]) =>
          unique.map((at, i) => ({
            at,
            length: Math.min(lengths[i] ?? 1, (unique[i + 1] ?? Number.POSITIVE_INFINITY) - at),
            pitch: pitches[i] ?? { pc: 0, octave: 4 },
          })),
        );
    });
}

interface Frame {
  readonly meter: Meter | null;
  readonly ticks: number;
  readonly now: Meter;
}

function bar({ meter, ticks, now }: Frame): fc.Arbitrary<WrittenBar> {
  return events(ticks, now).map((harmony) => ({
    meter,
    length: ticks,
    harmony,
    melody: [],
    repeatStart: false,
    repeatEnd: 0,
    endings: [],
    marks: [],
    jump: null,
  }));
}

function placeMelody(bars: readonly WrittenBar[], notes: readonly MelodyEvent[]): WrittenBar[] {
  let start = 0;
  return bars.map((written) => {
    const from = start;
    start += written.length;
    const melody = notes
      .filter((note) => note.at >= from && note.at < start)
      .map((note) => ({ ...note, at: note.at - from }));
    return { ...written, melody };
  });
}

/** Repeats over a whole section, with or without two endings. */
function withSigns(bars: readonly WrittenBar[], kind: number): WrittenBar[] {
  const last = bars.length - 1;
  return bars.map((written, i) => {
    if (kind === 0 || (kind === 2 && last < 2)) return written;
    const repeatStart = i === 0;
    if (kind === 1) return { ...written, repeatStart, repeatEnd: i === last ? 3 : 0 };
    const endings = i === last - 1 ? [1, 3] : i === last ? [2] : [];
    return { ...written, repeatStart, endings, repeatEnd: i >= last - 1 ? 2 : 0 };
  });
}

const section = (label: string, pickup: number, start: Meter) =>
  fc
    .array(fc.tuple(fc.option(fc.constantFrom(...meters), { freq: 5 }), fc.integer({ max: 9 })), {
      minLength: 1,
      maxLength: 9,
    })
    .chain((frames) => {
      let now = start;
      const bars = frames.map(([meter, cut], i) => {
        const isPickup = pickup > 0 && i === 0;
        const change = isPickup ? null : meter;
        now = change ?? now;
        const short = cut === 9 ? beatTicks(now) : barTicks(now);
        return bar({ meter: change, ticks: isPickup ? pickup : short, now });
      });
      return fc
        .tuple(fc.tuple(...bars), fc.integer({ min: 0, max: 2 }))
        .chain(([written, kind]) => {
          const length = written.reduce((sum, { length: ticks }) => sum + ticks, 0);
          return fc.option(melodyOver(length)).map((melody) => ({
            end: now,
            section: {
              label,
              bars: withSigns(placeMelody(written, melody ?? []), kind),
            } as Section,
          }));
        });
    });

const words = fc
  .string({ maxLength: 20 })
  .map((text) => text.replace(/\s+/gu, ' ').trim())
  .filter((text) => text !== '');

/** Tunes of two sections over all that tune text can say of bars, chords and melody. */
export const anyTune: fc.Arbitrary<Tune> = fc
  .record({
    title: words,
    credit: fc.option(words),
    key: fc.option(
      fc.record({
        tonic: fc.integer({ min: -7, max: 7 }),
        mode: fc.constantFrom('major' as const, 'minor' as const),
      }),
    ),
    meter: fc.constantFrom(...meters),
    tempo: fc.option(fc.integer({ min: 40, max: 320 })),
    feel: fc.option(words),
    order: fc.option(fc.array(fc.constantFrom('A', 'B'), { minLength: 1, maxLength: 4 })),
    hasPickup: fc.boolean(),
  })
  .chain(({ order, hasPickup, ...head }) => {
    const pickup = hasPickup ? beatTicks(head.meter) : 0;
    return section('A', pickup, head.meter).chain((a) =>
      section('B', 0, a.end).map((b) => ({
        ...head,
        form: order,
        pickup,
        sections: [a.section, b.section],
      })),
    );
  });
