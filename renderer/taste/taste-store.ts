import { create } from 'zustand';
import type { ContractClient, ContractError, TasteRow } from '../../shared-core/contract/index.ts';
import { type Taste, tasteOf } from '../../shared-core/proposals/taste.ts';

interface TasteStore {
  /** What the leader's history makes of each device; null until the shell has answered. */
  readonly taste: Taste | null;
  readonly rows: readonly TasteRow[] | null;
  readonly error: ContractError | null;
  load(client: ContractClient): Promise<void>;
  reset(client: ContractClient): Promise<void>;
}

/** The leader's taste as the library has counted it. */
export const useTaste = create<TasteStore>()((set, get) => ({
  taste: null,
  rows: null,
  error: null,
  async load(client) {
    const answer = await client.call('taste.get', {});
    if (answer.ok) set({ rows: answer.value.rows, taste: tasteOf(answer.value.rows), error: null });
    else set({ error: answer.error });
  },
  async reset(client) {
    const answer = await client.call('taste.reset', {});
    if (answer.ok) await get().load(client);
    else set({ error: answer.error });
  },
}));
