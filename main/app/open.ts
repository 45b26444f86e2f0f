import { randomBytes } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Answer } from '../../shared-core/contract/errors.ts';
import type { HostName } from '../../shared-core/contract/types.ts';
import { type Library, type LibraryPorts, openLibrary } from '../library/library.ts';
import { projectRoot } from '../setup/project-root.ts';
import type { AppContext } from './context.ts';
import { answerOf, success } from './failures.ts';
import { errorOf, type Log } from './faults.ts';
import { Jobs } from './jobs.ts';
import { warmerOf } from './warm-up.ts';
import type { Works } from './works.ts';

/** An open library with what the use cases work with. */
export interface OpenContext {
  readonly context: AppContext;
  /** Stops jobs, writes everything into the library file and lets go of it. */
  close(): Promise<void>;
}

/** What a host says about itself. */
export interface AppOptions {
  readonly host: HostName;
  readonly libraryFile: string;
  /** Whether a library that never held anything gets the sample tunes and band. */
  readonly sample: boolean;
  readonly log: Log;
  readonly deliver?: AppContext['deliver'];
  readonly works?: () => Promise<Works>;
  readonly ports?: LibraryPorts;
}

const MACHINE: LibraryPorts = { now: Date.now, random: (bytes) => randomBytes(bytes) };

/**
 * Opens a library and sets up the context of the use cases over it. Loads neither the engine nor the
 * schemas of the contract: a command that lists tunes is done before those are read.
 * Errors are those of opening it, or of the sample.
 */
export async function openContext(options: AppOptions): Promise<Answer<OpenContext>> {
  const opened = answerOf(await openLibrary(options.libraryFile, options.ports ?? MACHINE));
  if (!opened.ok) return opened;
  const library = opened.value;
  if (options.sample) {
    const { loadSample } = await import('./sample.ts');
    const loaded = loadSample(library, sampleFolder());
    if (!loaded.ok) {
      library.close();
      return loaded;
    }
  }
  const context = contextOf(options, library);
  const close = async () => {
    await context.jobs.close();
    library.close();
  };
  return success({ context, close });
}

function contextOf(options: AppOptions, library: Library): AppContext {
  const works = options.works ?? (async () => (await import('./workshop.ts')).WORKSHOP);
  return {
    library,
    host: options.host,
    version: programVersion(),
    jobs: new Jobs(library.makeId, (thrown) => errorOf(thrown, options.log, 'export')),
    works,
    warmUp: warmerOf(works, options.log),
    deliver: options.deliver ?? (async () => success({ archive: true })),
    known: new Map(),
  };
}

/** Folder of the sample library that ships with the program. */
export function sampleFolder(): string {
  return join(projectRoot(), 'sample-library');
}

/** Version of the program, from its package.json. */
export function programVersion(): string {
  const text = readFileSync(join(projectRoot(), 'package.json'), 'utf8');
  return (JSON.parse(text) as { version: string }).version;
}
