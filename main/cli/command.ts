import type { ExitCode, Io } from './io.ts';

/** One command: a line of help, and its work. */
export interface CliCommand {
  readonly usage: string;
  readonly help: string;
  run(args: readonly string[], io: Io): Promise<ExitCode>;
}
