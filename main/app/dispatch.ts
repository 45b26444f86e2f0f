import type { Answer } from '../../shared-core/contract/errors.ts';
import {
  type ContractClient,
  type ContractHandlers,
  isMethodName,
  type MethodName,
  type ReplyOf,
  type RequestOf,
} from '../../shared-core/contract/methods.ts';
import { parseRequest } from '../../shared-core/contract/parse.ts';
import { failure } from './failures.ts';
import { errorOf, type Log } from './faults.ts';

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

/** A client that calls the handlers directly: for tests and the command line. */
export function directClient(handlers: ContractHandlers, log: Log): ContractClient {
  return {
    call: async <M extends MethodName>(method: M, request: RequestOf<M>) =>
      (await dispatch(handlers, log, method, request)) as Answer<ReplyOf<M>>,
  };
}
