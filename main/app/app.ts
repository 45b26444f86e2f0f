import { randomBytes } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Answer } from '../../shared-core/contract/errors.ts';
import type { ContractHandlers } from '../../shared-core/contract/methods.ts';
import type { HostName } from '../../shared-core/contract/types.ts';
import { type Library, type LibraryPorts, openLibrary } from '../library/library.ts';
import { projectRoot } from '../setup/project-root.ts';
import type { AppContext } from './context.ts';
import { errorOf, type Log } from './dispatch.ts';
import { answerOf, success } from './failures.ts';
import { createHandlers } from './handlers.ts';
import { Jobs } from './jobs.ts';
import { loadSample } from './sample.ts';
import type { Works } from './works.ts';

/** The running use cases over one library. */
export interface App {
  readonly context: AppContext;
  readonly handlers: ContractHandlers;
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

/** Opens a library and sets up the use cases over it. Errors are those of opening it, or of the sample. */
export async function openApp(options: AppOptions): Promise<Answer<App>> {
  const opened = answerOf(await openLibrary(options.libraryFile, options.ports ?? MACHINE));
  if (!opened.ok) return opened;
  const library = opened.value;
  if (options.sample) {
    const loaded = loadSample(library, sampleFolder());
    if (!loaded.ok) {
      library.close();
      return loaded;
    }
  }
  const context = contextOf(options, library);
  return success({
    context,
    handlers: createHandlers(context),
    close: async () => {
      await context.jobs.close();
      library.close();
    },
  });
}

function contextOf(options: AppOptions, library: Library): AppContext {
  return {
    library,
    host: options.host,
    version: programVersion(),
    jobs: new Jobs(library.makeId, (thrown) => errorOf(thrown, options.log, 'export')),
    works: options.works ?? (async () => (await import('./workshop.ts')).WORKSHOP),
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
