import type { Answer } from '../../shared-core/contract/errors.ts';
import type { ContractHandlers } from '../../shared-core/contract/methods.ts';
import { success } from './failures.ts';
import { createHandlers } from './handlers.ts';
import { type AppOptions, type OpenContext, openContext } from './open.ts';

/** The running use cases over one library, as a host serves them. */
export interface App extends OpenContext {
  readonly handlers: ContractHandlers;
}

/** Opens a library and sets up the contract over it. Errors: see {@link openContext}. */
export async function openApp(options: AppOptions): Promise<Answer<App>> {
  const opened = await openContext(options);
  if (!opened.ok) return opened;
  return success({ ...opened.value, handlers: createHandlers(opened.value.context) });
}
