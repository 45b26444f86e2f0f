import type { ContractError } from '../../shared-core/contract/errors.ts';
import { libraryErrorOf } from '../library/errors.ts';
import { fromLibrary } from './failures.ts';

/** Where what nobody foresaw is written down for whoever repairs it. */
export type Log = (line: string) => void;

/** What a thrown error means to the person: a state of the library or disk, or a fault of ours, logged. */
export function errorOf(thrown: unknown, log: Log, doing: string): ContractError {
  const known = libraryErrorOf(thrown);
  if (known) return fromLibrary(known);
  const error = thrown instanceof Error ? thrown : new Error(String(thrown));
  log(`${doing}: ${error.stack ?? error.message}`);
  return {
    code: 'contract/internal',
    data: { doing, detail: error.message },
    message: `Something went wrong in the program (${error.message}); nothing kept was lost. Try again, and report it if it happens again.`,
  };
}
