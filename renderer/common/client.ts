import {
  type Answer,
  type ContractClient,
  type MethodName,
  parseAnswer,
  type ReplyOf,
  type RequestOf,
} from '../../shared-core/contract/index.ts';
import { loopbackEntry, postJson } from './loopback-entry.ts';

/** Header in which the window proves to the loopback host that it was opened by it. */
const TOKEN_HEADER = 'x-changewright-token';

/** What the desktop shell's preload puts on the window: one function per method of the contract. */
type Bridge = Readonly<Record<string, (request: unknown) => Promise<unknown>>>;

declare global {
  interface Window {
    readonly changewright?: Bridge;
  }
}

/**
 * The one way from the window to the shell. Uses the desktop bridge when there is one, else speaks to
 * the loopback host this page was served from. Every answer is checked against the contract.
 */
export function connect(): ContractClient {
  const bridge = window.changewright;
  const send = bridge ? overBridge(bridge) : overLoopback();
  return {
    async call<M extends MethodName>(
      method: M,
      request: RequestOf<M>,
    ): Promise<Answer<ReplyOf<M>>> {
      try {
        return parseAnswer(method, await send(method, request));
      } catch {
        return {
          ok: false,
          error: { code: 'contract/unreachable', retry: true, message: UNREACHABLE },
        };
      }
    },
  };
}

const UNREACHABLE =
  'The program behind this window does not answer. What you decided before is kept; start the program again and come back here.';

type Send = (method: string, request: unknown) => Promise<unknown>;

function overBridge(bridge: Bridge): Send {
  return (method, request) => {
    const call = bridge[method];
    if (!call) throw new Error(`The desktop bridge has no ${method}`);
    return call(request);
  };
}

function overLoopback(): Send {
  const enter = loopbackEntry();
  return async (method, request) => {
    const { token, refusal } = await enter();
    return refusal ?? postJson(`/contract/${method}`, request, { [TOKEN_HEADER]: token });
  };
}
