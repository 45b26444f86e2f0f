import type { OpenContext } from '../app/open.ts';
import type { Typed } from './args.ts';
import {
  badInput,
  type ExitCode,
  errorJson,
  exitCodeOf,
  exitOfAll,
  type Io,
  printJson,
  sentenceOf,
} from './io.ts';
import { type GivenTune, tunesOf, withApp } from './session.ts';

/**
 * Does the same work for each of many files or ids, in order. With `--json` that is one object a line. One
 * that cannot be read is said (`{file, error}` in JSON), the rest goes on, and the exit code tells in the end.
 */
export async function forEachTune(
  typed: Typed,
  io: Io,
  work: (tune: GivenTune, word: string) => unknown,
  print: (result: unknown, tune: GivenTune, word: string) => void,
): Promise<ExitCode> {
  const { words, flags } = typed;
  if (words.length === 0) badInput('Name a file, or the id of a tune in the library.');
  const json = flags.has('json');
  const failures: (1 | 2)[] = [];
  const library = lazyLibrary(typed, io);
  try {
    for (const word of words) {
      const found = await tunesOf(word, library.open);
      if (!found.ok) {
        if (json) printJson(io, { file: word, error: errorJson(found.error) });
        io.err(`${sentenceOf(found.error, word)}\n`);
        failures.push(exitCodeOf(found.error));
        continue;
      }
      for (const tune of found.tunes) {
        const result = work(tune, word);
        if (json) printJson(io, result);
        else print(result, tune, word);
      }
    }
  } finally {
    await library.close();
  }
  return exitOfAll(failures);
}

/** Opens the library at the first id; files need none. */
function lazyLibrary(
  typed: Typed,
  io: Io,
): { open: () => Promise<OpenContext>; close: () => Promise<void> } {
  let opened: Promise<OpenContext> | null = null;
  let release: () => void = () => {};
  let ended: Promise<void> = Promise.resolve();
  return {
    open: () => {
      opened ??= new Promise<OpenContext>((resolve, reject) => {
        ended = withApp(typed, io, (app) => {
          resolve(app);
          return new Promise<void>((done) => {
            release = done;
          });
        }).catch(reject);
      });
      return opened;
    },
    close: async () => {
      release();
      await ended;
    },
  };
}
