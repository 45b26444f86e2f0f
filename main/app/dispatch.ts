import type { Answer, ContractError } from '../../shared-core/contract/errors.ts';
import {
  type ContractClient,
  type ContractHandlers,
  isMethodName,
  type MethodName,
  type ReplyOf,
  type RequestOf,
} from '../../shared-core/contract/methods.ts';
import { parseRequest } from '../../shared-core/contract/parse.ts';
import { libraryErrorOf } from '../library/errors.ts';
import { failure, fromLibrary } from './failures.ts';

/** Where what nobody foresaw is written down for whoever repairs it. */
export type Log = (line: string) => void;

/**
 * Takes a request off a wire: names an unknown method, checks the request, runs it, and turns whatever is
 * thrown into an answer. The one door both hosts use.
 */
export async function dispatch(
  handlers: ContractHandlers,
  log: Log,
  method: string,
  request: unknown,
): Promise<Answer<unknown>> {
  if (!isMethodName(method)) {
    return failure('contract/unknown-method', `There is no request ${method}.`, {
      data: { method },
    });
  }
  const parsed = parseRequest(method, request);
  if (!parsed.ok) return parsed;
  return run(handlers, log, method, parsed.value);
}

async function run<M extends MethodName>(
  handlers: ContractHandlers,
  log: Log,
  method: M,
  request: RequestOf<M>,
): Promise<Answer<ReplyOf<M>>> {
  try {
    return await handlers[method](request);
  } catch (thrown) {
    return { ok: false, error: errorOf(thrown, log, method) };
  }
}

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

/** A client that calls the handlers directly: for tests and the command line. */
export function directClient(handlers: ContractHandlers, log: Log): ContractClient {
  return {
    call: async <M extends MethodName>(method: M, request: RequestOf<M>) =>
      (await dispatch(handlers, log, method, request)) as Answer<ReplyOf<M>>,
  };
}
