import { commandMessage } from '../../shared-core/arrangement/messages.ts';
import type { CommandError } from '../../shared-core/arrangement/model.ts';
import type { Answer, ContractError, ErrorCode } from '../../shared-core/contract/errors.ts';
import type { Result } from '../../shared-core/result.ts';
import type { LibraryError } from '../library/errors.ts';
import { libraryMessage } from './messages.ts';

/** A failure of a use case. */
export function failure(
  code: ErrorCode,
  message: string,
  more: Omit<ContractError, 'code' | 'message'> = {},
): { readonly ok: false; readonly error: ContractError } {
  return { ok: false, error: { code, message, ...more } };
}

/** A success of a use case. */
export function success<T>(value: T): Answer<T> {
  return { ok: true, value };
}

/** A library error as the contract says it. A busy library may be asked again. */
export function fromLibrary(error: LibraryError): ContractError {
  const said: ContractError = {
    code: error.code,
    data: error.data,
    message: libraryMessage(error),
  };
  return error.code === 'library/busy' ? { ...said, retry: true } : said;
}

/** A refused command as the contract says it. */
export function fromCommand(error: CommandError): ContractError {
  return { code: error.code, data: error.data, message: commandMessage(error) };
}

/** A library's result as an answer. */
export function answerOf<T>(result: Result<T, LibraryError | ContractError>): Answer<T> {
  if (result.ok) return result;
  return { ok: false, error: asContract(result.error) };
}

/** A library error or a contract error, as a contract error. */
export function asContract(error: LibraryError | ContractError): ContractError {
  return 'message' in error ? error : fromLibrary(error);
}
