import { createContext, useContext } from 'react';
import type { ContractClient } from '../../shared-core/contract/index.ts';

/** The client every feature calls the shell through. */
export const ClientContext = createContext<ContractClient | null>(null);

/** The contract client; throws when a component stands outside the application. */
export function useClient(): ContractClient {
  const client = useContext(ClientContext);
  if (!client) throw new Error('No contract client above this component');
  return client;
}
