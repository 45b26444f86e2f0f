import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { err, ok, type Result } from '../../shared-core/result.ts';

/**
 * The library file the arguments name, as an absolute path; null when they name none. The switches of the
 * browser below Electron stand among the arguments and are not ours to judge. A checkout has the program's
 * place as one argument more than a packed program, so every one but the first is looked at.
 * Error: a sentence, when `--library` has no file.
 *
 * @param argv all arguments, the running program first
 * @example libraryArgument(['/opt/changewright', '--library', '/tmp/a']) // ok('/tmp/a')
 */
export function libraryArgument(argv: readonly string[]): Result<string | null, string> {
  const { values } = parseArgs({
    args: argv.slice(1),
    options: { library: { type: 'string' } },
    strict: false,
  });
  const { library } = values;
  if (library === undefined) return ok(null);
  if (typeof library !== 'string' || library === '') {
    return err('--library has no file; write --library FILE.');
  }
  return ok(resolve(library));
}
