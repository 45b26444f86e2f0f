import { basename } from 'node:path';
import type { ContractError } from '../../shared-core/contract/errors.ts';

/** Where a command writes; tests give their own. */
export interface Io {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
}

/** What a command ends with: 0 well, 1 a failure of ours or of the machine, 2 input that is no good. */
export type ExitCode = 0 | 1 | 2;

/** A refusal that ends a command: one sentence, and whose fault it is. */
export class CommandFailure extends Error {
  readonly exitCode: 1 | 2;

  constructor(message: string, exitCode: 1 | 2) {
    super(message);
    this.exitCode = exitCode;
  }
}

/** Ends the command because of what was typed or given. */
export function badInput(message: string): never {
  throw new CommandFailure(message, 2);
}

/** Codes that are not the person's fault. */
const OURS = /^(library\/(?!not-found)|export\/|contract\/|file\/unwritable)/u;

/** Whose fault an error is: what was given (2), or the program's and the machine's (1). */
export function exitCodeOf(error: ContractError): 1 | 2 {
  return OURS.test(error.code) ? 1 : 2;
}

/** What a command over many files ends with: one that failed is enough, whatever became of the rest. */
export function exitOfAll(failures: readonly (1 | 2)[]): ExitCode {
  if (failures.length === 0) return 0;
  return failures.includes(1) ? 1 : 2;
}

/** The sentence of an error, with its place in front where the sentence does not name it. */
export function sentenceOf(error: ContractError, file?: string): string {
  const { line, column, bar } = error.place ?? {};
  const place = [
    line === undefined ? null : `line ${line}`,
    column === undefined ? null : `column ${column}`,
    line === undefined && bar !== undefined ? `bar ${bar}` : null,
  ].filter((part) => part !== null && !error.message.includes(part));
  const inFile = file !== undefined && !error.message.includes(basename(file)) ? [file] : [];
  const where = [...inFile, ...place].join(', ');
  return where === '' ? error.message : `${where}: ${error.message}`;
}

/** Takes the value of an answer, or ends the command with its error. */
export function need<T>(
  answer:
    | { readonly ok: true; readonly value: T }
    | { readonly ok: false; readonly error: ContractError },
  file?: string,
): T {
  if (answer.ok) return answer.value;
  throw new CommandFailure(sentenceOf(answer.error, file), exitCodeOf(answer.error));
}

/** An error as the contract's JSON says it: `{code, message, line?, bar?}`. */
export function errorJson(error: ContractError): Record<string, unknown> {
  const { line, column, bar } = error.place ?? {};
  return {
    code: error.code,
    message: error.message,
    ...(line === undefined ? {} : { line }),
    ...(column === undefined ? {} : { column }),
    ...(bar === undefined ? {} : { bar }),
  };
}

/** Prints JSON alone on a line. */
export function printJson(io: Io, value: unknown): void {
  io.out(`${JSON.stringify(value)}\n`);
}
