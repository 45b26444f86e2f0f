import type { CliCommand } from './command.ts';
import { CommandFailure, type ExitCode, type Io } from './io.ts';

/** Each command is loaded when it is called: listing tunes must not wait for the engraver. */
const COMMANDS: Readonly<Record<string, () => Promise<CliCommand>>> = {
  import: async () => (await import('./commands/import.ts')).IMPORT,
  tunes: async () => (await import('./commands/tunes.ts')).TUNES,
  analyse: async () => (await import('./commands/analyse.ts')).ANALYSE,
  propose: async () => (await import('./commands/propose.ts')).PROPOSE,
  arrange: async () => (await import('./commands/arrange.ts')).ARRANGE,
  export: async () => (await import('./commands/export.ts')).EXPORT,
  setlist: async () => (await import('./commands/setlist.ts')).SETLIST,
  demo: async () => (await import('./commands/demo.ts')).DEMO,
  check: async () => (await import('./commands/check.ts')).CHECK,
};

const EXIT_CODES =
  'Exit code: 0 all is well; 2 something that was given is no good, of many files any one of them, and the rest is done; 1 the program or the machine failed.';

/**
 * Runs one call of the command line. Everything a person did wrong is one sentence on standard error and
 * exit code 2; what the program or the machine could not do is one sentence and exit code 1.
 */
export async function run(argv: readonly string[], io: Io): Promise<ExitCode> {
  const [name = 'help', ...rest] = argv;
  try {
    if (name === '--version' || name === '-v' || name === 'version') return await version(io);
    if (name === 'help' || name === '--help' || name === '-h') return await help(rest[0], io);
    const load = COMMANDS[name];
    if (!load || !Object.hasOwn(COMMANDS, name)) {
      throw new CommandFailure(`There is no command ${name}; there are ${names()}.`, 2);
    }
    if (rest.includes('--help')) return await help(name, io);
    return await (await load()).run(rest, io);
  } catch (thrown) {
    return await exitOfThrown(thrown, name, io);
  }
}

/**
 * Says what ended a command. A refusal and what the library or the disk could not do are one sentence; a fault of
 * ours says where it happened as well.
 */
export async function exitOfThrown(thrown: unknown, name: string, io: Io): Promise<ExitCode> {
  if (thrown instanceof CommandFailure) {
    io.err(`${thrown.message}\n`);
    return thrown.exitCode;
  }
  const { errorOf } = await import('../app/faults.ts');
  const error = errorOf(thrown, (line) => io.err(`${line}\n`), `changewright ${name}`);
  io.err(`${error.message}\n`);
  return 1;
}

function names(): string {
  return Object.keys(COMMANDS).join(', ');
}

async function version(io: Io): Promise<ExitCode> {
  const { programVersion } = await import('../app/open.ts');
  io.out(`Changewright ${programVersion()}\n`);
  return 0;
}

async function help(name: string | undefined, io: Io): Promise<ExitCode> {
  const load = name === undefined ? undefined : COMMANDS[name];
  if (load) {
    const command = await load();
    io.out(`changewright ${command.usage}\n\n${command.help}\n`);
    return 0;
  }
  io.out('changewright COMMAND [--library FILE] [--json]\n\n');
  for (const loadOne of Object.values(COMMANDS)) {
    const command = await loadOne();
    io.out(`  ${command.usage}\n      ${command.help}\n`);
  }
  io.out(`\n${EXIT_CODES}\n`);
  return 0;
}
