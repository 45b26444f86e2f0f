import { z } from 'zod';
import type { Answer } from './errors.ts';
import {
  band,
  CHORUS_LIMIT,
  chartOptions,
  command,
  contractError,
  FILE_LIMIT,
  id,
  moment,
  name,
  setlistEntry,
  state,
  TUNE_TEXT_LIMIT,
} from './schemas.ts';
import type {
  AppInfo,
  ArrangementRecord,
  ArrangementRow,
  ArrangementUpdate,
  BandAnswer,
  CheckReport,
  ExportProgress,
  FailedImport,
  FileContent,
  ImportedTune,
  SetlistRecord,
  SetlistRow,
  TasteRow,
  TuneRow,
} from './types.ts';

const nothing = z.strictObject({});
const done = z.strictObject({});
const byId = z.strictObject({ id });
const made = z.strictObject({ id });
const job = z.strictObject({ job: id });
const text = z.string().max(TUNE_TEXT_LIMIT);
const revision = z.int().min(0);

const tuneRow: z.ZodType<TuneRow> = z.strictObject({
  id,
  title: z.string(),
  credit: z.string().nullable(),
  key: z.string(),
  keyInferred: z.boolean(),
  meter: z.string(),
  tempo: z.number().nullable(),
  feel: z.string().nullable(),
  form: z.string(),
  bars: z.int(),
  arrangements: z.int(),
  createdAt: moment,
  changedAt: moment,
  binnedAt: moment.nullable(),
});

const arrangementRow: z.ZodType<ArrangementRow> = z.strictObject({
  id,
  tuneId: id,
  tuneTitle: z.string(),
  name: z.string(),
  choruses: z.int(),
  revision,
  createdAt: moment,
  changedAt: moment,
  binnedAt: moment.nullable(),
});

const updateShape = {
  revision,
  state,
  history: z.array(
    z.strictObject({ seq: z.int(), label: z.string(), at: moment, undone: z.boolean() }),
  ),
  canUndo: z.boolean(),
  canRedo: z.boolean(),
};
const update: z.ZodType<ArrangementUpdate> = z.strictObject(updateShape);
const record: z.ZodType<ArrangementRecord> = z.strictObject({ id, tuneId: id, ...updateShape });

const progress: z.ZodType<ExportProgress> = z.strictObject({
  done: z.int(),
  total: z.int(),
  step: z.string(),
  state: z.enum(['running', 'done', 'cancelled', 'failed']),
  files: z.array(z.strictObject({ name: z.string(), handle: id, bytes: z.int() })),
  error: contractError.exactOptional(),
});

const content: z.ZodType<FileContent> = z.strictObject({
  name: z.string(),
  type: z.string(),
  base64: z.string(),
});

const imported: z.ZodType<ImportedTune> = z.strictObject({
  id,
  file: z.string(),
  title: z.string(),
  warnings: z.array(z.string()),
});
const failed: z.ZodType<FailedImport> = z.strictObject({ file: z.string(), error: contractError });

const tasteRow = z.strictObject({
  device: z.string(),
  degree: z.string(),
  accepted: z.int(),
  rejected: z.int(),
  weight: z.number(),
}) as unknown as z.ZodType<TasteRow>;

const setlistRow: z.ZodType<SetlistRow> = z.strictObject({
  id,
  name: z.string(),
  entries: z.int(),
  seconds: z.number(),
  unreadable: z.int(),
  createdAt: moment,
  changedAt: moment,
  binnedAt: moment.nullable(),
});

const setlist: z.ZodType<SetlistRecord> = z.strictObject({
  id,
  name: z.string(),
  entries: z.array(
    z.strictObject({
      arrangementId: id,
      note: z.string().nullable(),
      pause: z.int(),
      tuneId: id,
      title: z.string(),
      arrangementName: z.string(),
      facts: z
        .strictObject({
          key: z.string(),
          meter: z.string(),
          tempo: z.number(),
          feel: z.string().nullable(),
          choruses: z.int(),
          seconds: z.number(),
          flow: z.string().nullable(),
          remarks: z.array(z.string()),
        })
        .nullable(),
      problem: z.string().nullable(),
      startsAt: z.number(),
    }),
  ),
  seconds: z.number(),
});

const check: z.ZodType<CheckReport> = z.strictObject({
  sound: z.boolean(),
  findings: z.array(
    z.strictObject({
      level: z.enum(['fine', 'warning', 'error']),
      subject: z.string(),
      message: z.string(),
    }),
  ),
  versions: z.record(z.string(), z.string()),
});

const appInfo: z.ZodType<AppInfo> = z.strictObject({
  version: z.string(),
  host: z.enum(['electron', 'loopback', 'headless']),
  libraryName: z.string(),
  sampleLoaded: z.boolean(),
});

const bandAnswer: z.ZodType<BandAnswer> = z.strictObject({ band });
const files = z
  .array(z.strictObject({ name: z.string().min(1).max(500), base64: z.base64().max(FILE_LIMIT) }))
  .min(1)
  .max(500);

/** Pairs what a method is asked with what it answers. */
function method<Request extends z.ZodType, Reply extends z.ZodType>(
  request: Request,
  reply: Reply,
): { readonly request: Request; readonly reply: Reply } {
  return { request, reply };
}

/**
 * The whole conversation between window and shell: method name -> what is asked, what is answered.
 * Both hosts and the window are driven by this one table; nothing crosses that does not stand here.
 */
export const METHODS = {
  'app.info': method(nothing, appInfo),

  /** `search` looks in titles, credits and chord symbols, diacritics and case aside. */
  'tunes.list': method(
    z.strictObject({
      search: z.string().max(200).exactOptional(),
      binned: z.boolean().exactOptional(),
    }),
    z.strictObject({ tunes: z.array(tuneRow) }),
  ),
  'tunes.get': method(
    byId,
    z.strictObject({ id, text: z.string(), arrangements: z.array(arrangementRow) }),
  ),
  /** Refuses text with mistakes in it; they come back one by one in `error.problems`. */
  'tunes.save': method(
    z.strictObject({ id: id.exactOptional(), text }),
    z.strictObject({ id, warnings: z.array(z.string()) }),
  ),
  'tunes.bin': method(byId, done),
  'tunes.restore': method(byId, done),
  'tunes.import': method(
    z.strictObject({ files }),
    z.strictObject({ imported: z.array(imported), failed: z.array(failed) }),
  ),

  'arrangements.list': method(
    z.strictObject({ tuneId: id.exactOptional(), binned: z.boolean().exactOptional() }),
    z.strictObject({ arrangements: z.array(arrangementRow) }),
  ),
  'arrangements.create': method(
    z.strictObject({ tuneId: id, name, choruses: z.int().min(1).max(CHORUS_LIMIT) }),
    made,
  ),
  'arrangements.get': method(byId, record),
  /** `revision` is the one the window last saw; an older one is refused with `library/stale`. */
  'arrangements.apply': method(z.strictObject({ id, revision, command }), update),
  'arrangements.undo': method(z.strictObject({ id, revision }), update),
  'arrangements.redo': method(z.strictObject({ id, revision }), update),
  'arrangements.duplicate': method(z.strictObject({ id, name }), made),
  'arrangements.bin': method(byId, done),
  'arrangements.restore': method(byId, done),

  'band.get': method(nothing, bandAnswer),
  'band.save': method(z.strictObject({ band }), bandAnswer),

  'taste.get': method(nothing, z.strictObject({ rows: z.array(tasteRow) })),
  'taste.reset': method(nothing, done),

  /** SVG pages of one chair's chart. */
  'charts.preview': method(
    z.strictObject({ arrangementId: id, chairId: id, options: chartOptions }),
    z.strictObject({ pages: z.array(z.string()), title: z.string() }),
  ),

  'exports.start': method(
    z.strictObject({
      arrangementId: id,
      chairs: z.union([z.literal('all'), z.array(id).min(1)]),
      formats: z.array(z.enum(['pdf', 'musicxml', 'midi'])).min(1),
      options: chartOptions,
    }),
    job,
  ),
  'exports.progress': method(job, progress),
  'exports.cancel': method(job, done),
  'exports.read': method(z.strictObject({ handle: id }), content),
  /** Electron: asks for a folder and writes there (`folder`). Loopback: answers one zip to download (`handle`). */
  'exports.saveAll': method(
    job,
    z.strictObject({
      files: z.int(),
      handle: id.exactOptional(),
      folder: z.string().exactOptional(),
    }),
  ),

  'setlists.list': method(
    z.strictObject({ binned: z.boolean().exactOptional() }),
    z.strictObject({ setlists: z.array(setlistRow) }),
  ),
  'setlists.get': method(byId, setlist),
  'setlists.save': method(
    z.strictObject({ id: id.exactOptional(), name, entries: z.array(setlistEntry).max(200) }),
    made,
  ),
  'setlists.bin': method(byId, done),
  'setlists.restore': method(byId, done),
  'setlists.export': method(z.strictObject({ id, options: chartOptions.exactOptional() }), job),

  'library.check': method(nothing, check),
  'library.backup': method(
    nothing,
    z.strictObject({ name: z.string(), bytes: z.int(), at: moment }),
  ),
  /** Removes for good what has been in the bin. */
  'library.emptyBin': method(nothing, z.strictObject({ removed: z.int() })),
} as const;

/** Name of a method of the contract. */
export type MethodName = keyof typeof METHODS;

/** What a method is asked. */
export type RequestOf<M extends MethodName> = z.output<(typeof METHODS)[M]['request']>;

/** What a method answers when all goes well. */
export type ReplyOf<M extends MethodName> = z.output<(typeof METHODS)[M]['reply']>;

/** Every method name, in the order of the table. */
export const METHOD_NAMES = Object.keys(METHODS) as readonly MethodName[];

/** Whether a text names a method. */
export function isMethodName(text: string): text is MethodName {
  return Object.hasOwn(METHODS, text);
}

/**
 * What the window holds to talk to the shell. Never rejects for anything a person or the machine did:
 * an unreachable shell answers `contract/unreachable`.
 */
export interface ContractClient {
  call<M extends MethodName>(method: M, request: RequestOf<M>): Promise<Answer<ReplyOf<M>>>;
}

/** What the shell implements: one function a method. */
export type ContractHandlers = {
  readonly [M in MethodName]: (request: RequestOf<M>) => Promise<Answer<ReplyOf<M>>>;
};
