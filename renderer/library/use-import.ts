import { useState } from 'react';
import type { ContractError, ReplyOf } from '../../shared-core/contract/index.ts';
import { toBase64 } from '../common/files.ts';
import { useClient } from '../common/shell-context.ts';

/** Files larger than this are refused before they are read. */
const LARGEST = 18_000_000;

/** An import: where it stands and what came of it. */
export interface Importing {
  readonly busy: number;
  readonly results: ReplyOf<'tunes.import'> | null;
  readonly error: ContractError | null;
  take(files: readonly File[]): Promise<void>;
  dismiss(): void;
}

/** Brings files into the library; each file stands or falls alone. */
export function useImport(onChanged: () => void): Importing {
  const client = useClient();
  const [busy, setBusy] = useState(0);
  const [results, setResults] = useState<Importing['results']>(null);
  const [error, setError] = useState<ContractError | null>(null);
  return {
    busy,
    results,
    error,
    dismiss() {
      setResults(null);
      setError(null);
    },
    async take(files) {
      if (files.length === 0) return;
      setBusy(files.length);
      setError(null);
      const small = files.filter((file) => file.size <= LARGEST && file.size > 0);
      const refused = files
        .filter((file) => !small.includes(file))
        .map((file) => ({ file: file.name, error: refusal(file) }));
      const carried = await Promise.all(
        small.map(async (file) => ({ name: file.name, base64: await toBase64(file) })),
      );
      const answer = carried.length
        ? await client.call('tunes.import', { files: carried })
        : { ok: true as const, value: { imported: [], failed: [] } };
      setBusy(0);
      if (!answer.ok) {
        setError(answer.error);
        return;
      }
      setResults({ ...answer.value, failed: [...answer.value.failed, ...refused] });
      onChanged();
    },
  };
}

function refusal(file: File): ContractError {
  return file.size === 0
    ? { code: 'file/unreadable', message: 'The file is empty.' }
    : {
        code: 'file/too-large',
        message: 'The file is larger than 18 MB; no tune is. Check that it is the right one.',
      };
}
