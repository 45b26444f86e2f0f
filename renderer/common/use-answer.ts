import { useCallback, useEffect, useRef, useState } from 'react';
import type {
  ContractError,
  MethodName,
  ReplyOf,
  RequestOf,
} from '../../shared-core/contract/index.ts';
import { useClient } from './shell-context.ts';

/** A question to the shell and where its answer stands. */
export type Asked<T> =
  | { readonly state: 'waiting' }
  | { readonly state: 'answered'; readonly value: T }
  | { readonly state: 'failed'; readonly error: ContractError };

/**
 * Asks the shell when mounted and again whenever the request changes or `again` is called. The last
 * answer stays on screen while the next one is on its way, so that nothing jumps.
 */
export function useAnswer<M extends MethodName>(
  method: M,
  request: RequestOf<M>,
): readonly [Asked<ReplyOf<M>>, () => void] {
  const client = useClient();
  const [asked, setAsked] = useState<Asked<ReplyOf<M>>>({ state: 'waiting' });
  const key = JSON.stringify(request);
  const latest = useRef(0);
  const ask = useCallback(() => {
    latest.current += 1;
    const mine = latest.current;
    void client.call(method, JSON.parse(key) as RequestOf<M>).then((answer) => {
      if (mine !== latest.current) return;
      setAsked(
        answer.ok
          ? { state: 'answered', value: answer.value }
          : { state: 'failed', error: answer.error },
      );
    });
  }, [client, method, key]);
  useEffect(() => {
    ask();
    return () => {
      latest.current += 1;
    };
  }, [ask]);
  return [asked, ask];
}
