import type { z } from 'zod';
import type { Answer, ContractError } from './errors.ts';
import { METHODS, type MethodName, type ReplyOf, type RequestOf } from './methods.ts';
import { contractError } from './schemas.ts';

/**
 * Checks what came over a wire against the request of a method. The shell calls it on everything it
 * receives. Errors: `contract/request` with the field and what is wrong with it.
 */
export function parseRequest<M extends MethodName>(
  method: M,
  request: unknown,
): Answer<RequestOf<M>> {
  const read = METHODS[method].request.safeParse(request);
  if (read.success) return { ok: true, value: read.data as RequestOf<M> };
  return { ok: false, error: requestError(method, read.error) };
}

/**
 * Checks what came back. The window calls it on every answer. A reply that is not of the contract is
 * `contract/answer`: the window and the shell are of different versions.
 */
export function parseAnswer<M extends MethodName>(method: M, answer: unknown): Answer<ReplyOf<M>> {
  if (typeof answer === 'object' && answer !== null && 'ok' in answer) {
    if (answer.ok === true && 'value' in answer) {
      const read = METHODS[method].reply.safeParse(answer.value);
      if (read.success) return { ok: true, value: read.data as ReplyOf<M> };
      return notOfTheContract(method, firstIssue(read.error));
    }
    if (answer.ok === false && 'error' in answer) {
      const read = contractError.safeParse(answer.error);
      if (read.success) return { ok: false, error: read.data };
    }
  }
  return notOfTheContract(method, 'neither a value nor an error');
}

function requestError(method: string, error: z.ZodError): ContractError {
  const field = error.issues[0]?.path.map(String).join('.') ?? '';
  return {
    code: 'contract/request',
    place: field === '' ? {} : { field },
    data: { method },
    message: `The request ${method} was not understood: ${firstIssue(error)}.`,
  };
}

function firstIssue(error: z.ZodError): string {
  const issue = error.issues[0];
  if (!issue) return 'it is not of the right shape';
  const field = issue.path.map(String).join('.');
  const words = issue.message.replace(/\.$/u, '');
  return field === '' ? words : `${field}: ${words}`;
}

function notOfTheContract(method: string, what: string): Answer<never> {
  const message = `The program's answer to ${method} was not understood (${what}); start it again.`;
  return { ok: false, error: { code: 'contract/answer', data: { method }, message } };
}
