import { basename } from 'node:path';
import type { ContractError } from '../../../shared-core/contract/errors.ts';
import type { OpenContext } from '../../app/open.ts';
import { importFiles } from '../../app/tunes.ts';
import { readArgs } from '../args.ts';
import type { CliCommand } from '../command.ts';
import {
  badInput,
  type ExitCode,
  errorJson,
  exitCodeOf,
  exitOfAll,
  type Io,
  printJson,
  sentenceOf,
} from '../io.ts';
import { bytesOf, withApp } from '../session.ts';

/** Takes files into the library. */
export const IMPORT: CliCommand = {
  usage: 'import FILE...',
  help: 'Takes tunes into the library: tune text, MusicXML (.mxl too), ABC or MIDI. Each file wholly or not at all.',
  async run(args, io) {
    const typed = readArgs(args, {});
    if (typed.words.length === 0) badInput('Name the files to import: changewright import FILE...');
    const json = typed.flags.has('json');
    return withApp<ExitCode>(typed, io, async (app) => {
      const failures: (1 | 2)[] = [];
      for (const path of typed.words) {
        const error = await importOne(app, path, io, json);
        if (error === null) continue;
        io.err(`${sentenceOf(error, path)}\n`);
        failures.push(exitCodeOf(error));
      }
      return exitOfAll(failures);
    });
  },
};

async function importOne(
  app: OpenContext,
  path: string,
  io: Io,
  json: boolean,
): Promise<ContractError | null> {
  const bytes = await bytesOf(path);
  if (!bytes.ok) return told(path, bytes.error, io, json);
  const { imported, failed } = await importFiles(app.context, [
    { name: basename(path), bytes: bytes.bytes },
  ]);
  const [failure] = failed;
  if (failure) return told(path, failure.error, io, json);
  if (json) printJson(io, { file: path, imported, failed: [] });
  else {
    for (const { id, title, warnings } of imported) {
      io.out(`${id}  ${title}\n`);
      for (const warning of warnings) io.out(`    ${warning}\n`);
    }
  }
  return null;
}

function told(file: string, error: ContractError, io: Io, json: boolean): ContractError {
  const said = errorJson(error);
  if (json) printJson(io, { file, error: said, imported: [], failed: [{ file, error: said }] });
  return error;
}
