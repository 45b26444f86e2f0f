import { z } from 'zod';
import { DEVICE_NAMES } from '../analysis/model.ts';
import type { Band } from '../arrangement/band.ts';
import type {
  ArrangementHead,
  ChorusPlan,
  Direction,
  KeptLine,
  Placement,
  Rejection,
} from '../arrangement/model.ts';
import { VOICING_FAMILIES } from '../voicing/families.ts';
import type { ContractError, ErrorCode, ErrorPlace } from './errors.ts';
import type { ChartOptions, Moment, SetlistEntryInput } from './types.ts';
import type { Wire, WireCommand, WireState } from './wire.ts';

/** Longest tune text a request may carry, in characters. A thousand-bar tune takes about 20,000. */
export const TUNE_TEXT_LIMIT = 1_000_000;

/** Longest base64 text of one imported file, in characters (18 MB of file). */
export const FILE_LIMIT = 25_000_000;

/** Most choruses an arrangement may have. */
export const CHORUS_LIMIT = 99;

/** Ids of the library: letters, digits and a few marks; made by the shell, or by the window for new records. */
export const id = z
  .string()
  .regex(/^[A-Za-z0-9][A-Za-z0-9:_.-]{0,127}$/u, 'is not an id')
  // Records are kept in plain objects: `constructor` as an id would find what nobody put there.
  .refine((text) => !(text in {}), 'is not an id');

/** Names people give: one line, something in it. */
export const name = z
  .string()
  .trim()
  .min(1, 'is empty')
  .max(200, 'is longer than 200 characters')
  .regex(/^[^\p{Cc}]*$/u, 'has a line break or a control character in it');

/** See {@link Moment}. */
export const moment: z.ZodType<Moment> = z.iso.datetime({ precision: 3 });

const ticks = z.int().min(0);
const length = z.int().positive();
/** A proposal or span id: printable ASCII. */
const reference = z.string().regex(/^[\x21-\x7e]{1,300}$/u, 'is not a reference');
/** Canonical symbol text; whether it is a chord is judged when it is decoded. */
const symbol = z.string().min(1).max(64);
/** Places on the line of fifths from Fbbb to B###. */
const spelled = z.int().min(-22).max(26);
const layer = z.enum(['band', 'soloist']);
const degree = z.enum(['note', 'triad', 'seventh', 'full']);
const device = z.enum(DEVICE_NAMES);
const tempo = z.number().min(10).max(500);

/** See `ArrangementHead`. */
export const head: z.ZodType<ArrangementHead> = z.strictObject({
  name,
  tempo: tempo.nullable(),
  feel: z.string().max(100).nullable(),
});

/** See `ChorusPlan`. */
export const chorusPlan: z.ZodType<ChorusPlan> = z.strictObject({
  id,
  order: z.int().min(0).max(CHORUS_LIMIT),
  label: z.string().max(100).nullable(),
  intensity: z.number().min(0).max(5),
});

/** See `Placement`, harmonies as text. */
export const placement: z.ZodType<Wire<Placement>> = z.strictObject({
  id,
  chorus: id,
  layer,
  start: ticks,
  length,
  changes: z
    .array(z.strictObject({ at: ticks, length, harmony: symbol }))
    .min(1)
    .max(512),
  origin: z.discriminatedUnion('kind', [
    z.strictObject({
      kind: z.literal('proposal'),
      proposal: reference,
      device,
      degree,
      span: reference,
      verdict: z.enum(['fine over the top', 'tell the rhythm section', 'the band must follow']),
      tells: spelled.nullable(),
      home: spelled.nullable(),
      reason: z.string().max(2000),
    }),
    z.strictObject({ kind: z.literal('hand') }),
  ]),
});

/** See `Rejection`. */
export const rejection: z.ZodType<Rejection> = z.strictObject({
  id: reference,
  chorus: id,
  proposal: reference,
  device,
  degree,
});

/** See `Direction`. */
export const direction: z.ZodType<Direction> = z.strictObject({
  id,
  chorus: id,
  chair: id,
  start: ticks,
  length,
  words: z.enum(['lay out', 'two-feel', 'walk', 'pedal', 'on cue', 'hits', 'time']),
});

/** Sounding pitch with its octave: `Eb4`. */
const pitch = z.string().regex(/^[A-G](?:b{0,3}|#{0,3})(?:-1|\d)$/u, 'is not a pitch');

/** See `KeptLine`, pitches as text. */
export const keptLine: z.ZodType<Wire<KeptLine>> = z.strictObject({
  id,
  chorus: id,
  chair: id,
  start: ticks,
  length,
  degree: z.enum(['plain', 'medium', 'busy']),
  seed: z.int().min(0),
  notes: z.array(z.strictObject({ start: ticks, length, pitch })).max(20_000),
});

/** See `Command`, harmonies as text. */
export const command: z.ZodType<WireCommand> = z.lazy(() =>
  z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('accept'), placement }),
    z.strictObject({ kind: z.literal('reject'), rejection }),
    z.strictObject({ kind: z.literal('unreject'), rejection: reference }),
    z.strictObject({ kind: z.literal('edit'), placement }),
    z.strictObject({ kind: z.literal('remove'), placement: id }),
    z.strictObject({ kind: z.literal('set-layer'), placement: id, layer }),
    z.strictObject({ kind: z.literal('add-chorus'), chorus: chorusPlan }),
    z.strictObject({ kind: z.literal('remove-chorus'), chorus: id }),
    z.strictObject({ kind: z.literal('move-chorus'), chorus: id, to: z.int().min(0) }),
    z.strictObject({
      kind: z.literal('set-chorus'),
      chorus: id,
      label: z.string().max(100).nullable(),
      intensity: z.number().min(0).max(5),
    }),
    z.strictObject({ kind: z.literal('set-head'), head }),
    z.strictObject({ kind: z.literal('set-direction'), direction }),
    z.strictObject({ kind: z.literal('remove-direction'), direction: id }),
    z.strictObject({ kind: z.literal('set-line'), line: keptLine }),
    z.strictObject({ kind: z.literal('remove-line'), line: id }),
    z.strictObject({
      kind: z.literal('batch'),
      label: z.string().min(1).max(200),
      commands: z.array(command).max(5000),
    }),
  ]),
);

/** See `ArrangementState`, harmonies and pitches as text. One kept before there were lines has none. */
export const state: z.ZodType<WireState> = z.strictObject({
  head,
  choruses: z.record(z.string(), chorusPlan),
  placements: z.record(z.string(), placement),
  rejections: z.record(z.string(), rejection),
  directions: z.record(z.string(), direction),
  lines: z.record(z.string(), keptLine).default({}),
});

/** See `Band`. */
export const band: z.ZodType<Band> = z.strictObject({
  id,
  name,
  chairs: z
    .array(
      z.strictObject({
        id,
        name,
        instrument: id,
        role: z.enum(['comping', 'soloist', 'bass', 'drums']),
        order: z.int().min(0).max(100),
        strings: z
          .strictObject({
            tuning: z
              .array(z.strictObject({ pc: spelled, octave: z.int().min(-1).max(9) }))
              .min(1)
              .max(20),
            capo: z.int().min(0).max(24),
            leftHanded: z.boolean(),
          })
          .exactOptional(),
        keys: z.enum(['fewest', 'sharps', 'flats']).exactOptional(),
        voicing: z
          .strictObject({
            family: z.enum(VOICING_FAMILIES),
            top: z.enum(['free', 'melody', 'under']),
          })
          .exactOptional(),
      }),
    )
    .max(40),
});

/** See {@link ChartOptions}. */
export const chartOptions: z.ZodType<ChartOptions> = z.strictObject({
  style: z.enum(['words', 'signs']).exactOptional(),
  paper: z.enum(['a4', 'letter']).exactOptional(),
  concert: z.boolean().exactOptional(),
  large: z.boolean().exactOptional(),
  layout: z.enum(['auto', 'compact', 'written-out']).exactOptional(),
  voicings: z.boolean().exactOptional(),
  walkingLine: z.boolean().exactOptional(),
  exampleLine: z
    .strictObject({ degree: z.enum(['plain', 'medium', 'busy']), seed: z.int().min(0) })
    .exactOptional(),
});

/** See {@link SetlistEntryInput}. */
export const setlistEntry: z.ZodType<SetlistEntryInput> = z.strictObject({
  arrangementId: id,
  note: z.string().max(500).nullable(),
  pause: z.int().min(0).max(3600),
});

const place: z.ZodType<ErrorPlace> = z.strictObject({
  file: z.string().exactOptional(),
  field: z.string().exactOptional(),
  line: z.number().exactOptional(),
  column: z.number().exactOptional(),
  bar: z.number().exactOptional(),
  beat: z.number().exactOptional(),
  section: z.string().exactOptional(),
});

const problemShape = {
  code: z.string().regex(/^[a-z]+\/[a-z0-9-]+$/u) as unknown as z.ZodType<ErrorCode>,
  place: place.exactOptional(),
  data: z.record(z.string(), z.union([z.string(), z.number()])).exactOptional(),
  message: z.string().min(1),
  retry: z.boolean().exactOptional(),
};

/** See {@link ContractError}. */
export const contractError: z.ZodType<ContractError> = z.strictObject({
  ...problemShape,
  problems: z.array(z.strictObject(problemShape)).exactOptional(),
});
