import { create } from 'zustand';
import type { Band } from '../../shared-core/arrangement/band.ts';
import type { ContractClient, ContractError } from '../../shared-core/contract/index.ts';

interface BandStore {
  /** The band as the shell answered it; null until it has. */
  readonly band: Band | null;
  readonly error: ContractError | null;
  load(client: ContractClient): Promise<void>;
  save(client: ContractClient, band: Band): Promise<ContractError | null>;
}

/** The band of this library. */
export const useBand = create<BandStore>()((set) => ({
  band: null,
  error: null,
  async load(client) {
    const answer = await client.call('band.get', {});
    if (answer.ok) set({ band: answer.value.band, error: null });
    else set({ error: answer.error });
  },
  async save(client, band) {
    const answer = await client.call('band.save', { band });
    if (!answer.ok) return answer.error;
    set({ band: answer.value.band });
    return null;
  },
}));
