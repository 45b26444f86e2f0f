import { DEVICE_NAMES } from '../../shared-core/analysis/model.ts';
import type { Answer } from '../../shared-core/contract/errors.ts';
import type { ContractHandlers } from '../../shared-core/contract/methods.ts';
import type { DeviceDegree } from '../../shared-core/devices/model.ts';
import { tasteOf } from '../../shared-core/proposals/taste.ts';
import {
  applyToArrangement,
  createArrangement,
  getArrangement,
  redoInArrangement,
  undoInArrangement,
} from './arrangements.ts';
import { currentBand, saveBand } from './band.ts';
import { previewChart, startExport } from './charts.ts';
import { backUpNow, checkAll } from './check.ts';
import type { AppContext } from './context.ts';
import { saveAll } from './deliver.ts';
import { answerOf, success } from './failures.ts';
import { listTunes } from './list-tunes.ts';
import { getSetlist, listSetlists, saveSetlist, startSetlistExport } from './setlists.ts';
import { importFiles, saveTune } from './tunes.ts';

const DEGREES: readonly DeviceDegree[] = ['note', 'triad', 'seventh', 'full'];

/** The one implementation of the contract; both hosts and the tests call these functions. */
export function createHandlers(context: AppContext): ContractHandlers {
  return {
    'app.info': async () =>
      success({
        version: context.version,
        host: context.host,
        libraryName: context.library.name,
        sampleLoaded: context.library.meta.get('sample-loaded') !== null,
      }),
    ...tuneHandlers(context),
    ...arrangementHandlers(context),
    ...bandHandlers(context),
    ...chartHandlers(context),
    ...setlistHandlers(context),
    ...libraryHandlers(context),
  };
}

type Area<Prefix extends string> = {
  readonly [M in keyof ContractHandlers as M extends `${Prefix}.${string}`
    ? M
    : never]: ContractHandlers[M];
};

function tuneHandlers(context: AppContext): Area<'tunes'> {
  const { tunes, arrangements } = context.library;
  return {
    'tunes.list': async ({ search, binned }) =>
      success({ tunes: [...listTunes(context, search ?? '', binned ?? false)] }),
    'tunes.get': async ({ id }) => {
      const text = answerOf(tunes.text(id));
      if (!text.ok) return text;
      return success({ id, text: text.value, arrangements: [...arrangements.list(id, false)] });
    },
    'tunes.save': async ({ id, text }) => saveTune(context, id ?? null, text),
    'tunes.bin': async ({ id }) => done(answerOf(tunes.setBinned(id, true))),
    'tunes.restore': async ({ id }) => done(answerOf(tunes.setBinned(id, false))),
    'tunes.import': async ({ files }) =>
      success(
        await importFiles(
          context,
          files.map((file) => ({ name: file.name, bytes: Buffer.from(file.base64, 'base64') })),
        ),
      ),
  };
}

function arrangementHandlers(context: AppContext): Area<'arrangements'> {
  const { arrangements } = context.library;
  return {
    'arrangements.list': async ({ tuneId, binned }) =>
      success({ arrangements: [...arrangements.list(tuneId ?? null, binned ?? false)] }),
    'arrangements.create': async ({ tuneId, name, choruses }) =>
      createArrangement(context, tuneId, name, choruses),
    'arrangements.get': async ({ id }) => {
      const answer = getArrangement(context, id);
      // Whoever opens an arrangement will want to see a chart of it.
      if (answer.ok) context.warmUp();
      return answer;
    },
    'arrangements.apply': async ({ id, revision, command }) =>
      applyToArrangement(context, id, revision, command),
    'arrangements.undo': async ({ id, revision }) => undoInArrangement(context, id, revision),
    'arrangements.redo': async ({ id, revision }) => redoInArrangement(context, id, revision),
    'arrangements.duplicate': async ({ id, name }) => {
      const copy = answerOf(arrangements.duplicate(id, name));
      return copy.ok ? success({ id: copy.value }) : copy;
    },
    'arrangements.bin': async ({ id }) => done(answerOf(arrangements.setBinned(id, true))),
    'arrangements.restore': async ({ id }) => done(answerOf(arrangements.setBinned(id, false))),
  };
}

function bandHandlers(context: AppContext): Area<'band'> & Area<'taste'> {
  return {
    'band.get': async () => success({ band: currentBand(context.library) }),
    'band.save': async ({ band }) => saveBand(context.library, band),
    'taste.get': async () => success({ rows: tasteRows(context) }),
    'taste.reset': async () => {
      context.library.taste.reset();
      return success({});
    },
  };
}

/** Every device and degree that was ever decided on, and every device at least once. */
function tasteRows(context: AppContext) {
  const counts = context.library.taste.list();
  const taste = tasteOf(counts);
  return DEVICE_NAMES.flatMap((device) =>
    DEGREES.map((degree) => {
      const count = counts.find((row) => row.device === device && row.degree === degree);
      const { accepted, rejected } = count ?? { accepted: 0, rejected: 0 };
      return { device, degree, accepted, rejected, weight: taste.weightOf(device, degree) };
    }),
  );
}

function chartHandlers(context: AppContext): Area<'charts'> & Area<'exports'> {
  return {
    'charts.preview': async ({ arrangementId, chairId, options }) =>
      previewChart(context, arrangementId, chairId, options),
    'exports.start': async ({ arrangementId, chairs, formats, options }) =>
      startExport(context, arrangementId, chairs, formats, options),
    'exports.progress': async ({ job }) => context.jobs.progress(job),
    'exports.cancel': async ({ job }) => context.jobs.cancel(job),
    'exports.read': async ({ handle }) => {
      const file = context.jobs.file(handle);
      if (!file.ok) return file;
      const { name, type, bytes } = file.value;
      return success({ name, type, base64: Buffer.from(bytes).toString('base64') });
    },
    'exports.saveAll': async ({ job }) => saveAll(context, job),
  };
}

function setlistHandlers(context: AppContext): Area<'setlists'> {
  const { setlists } = context.library;
  return {
    'setlists.list': async ({ binned }) =>
      success({ setlists: [...listSetlists(context, binned ?? false)] }),
    'setlists.get': async ({ id }) => getSetlist(context, id),
    'setlists.save': async ({ id, name, entries }) =>
      saveSetlist(context, id ?? null, name, entries),
    'setlists.bin': async ({ id }) => done(answerOf(setlists.setBinned(id, true))),
    'setlists.restore': async ({ id }) => done(answerOf(setlists.setBinned(id, false))),
    'setlists.export': async ({ id, options }) => startSetlistExport(context, id, options ?? {}),
  };
}

function libraryHandlers(context: AppContext): Area<'library'> {
  return {
    'library.check': async () => checkAll(context),
    'library.backup': async () => backUpNow(context),
    'library.emptyBin': async () => success({ removed: context.library.emptyBin() }),
  };
}

function done(answer: Answer<unknown>): Answer<Record<string, never>> {
  return answer.ok ? success({}) : answer;
}
