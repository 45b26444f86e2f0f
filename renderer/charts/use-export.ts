import { useCallback, useEffect, useRef, useState } from 'react';
import type {
  Answer,
  ContractClient,
  ContractError,
  ExportProgress,
} from '../../shared-core/contract/index.ts';
import { download, toBlob } from '../common/files.ts';
import { say } from '../common/said.tsx';
import { useClient } from '../common/shell-context.ts';
import { count } from '../common/words.ts';

/** How often progress is asked for, ms. */
const EVERY = 200;

/** An export under way. */
export interface Exporting {
  readonly progress: ExportProgress | null;
  readonly error: ContractError | null;
  readonly running: boolean;
  start(ask: (client: ContractClient) => Promise<Answer<{ readonly job: string }>>): Promise<void>;
  cancel(): void;
  saveOne(handle: string): Promise<void>;
  saveAll(): Promise<void>;
}

/** Starts an export job, follows it, and hands its files over. */
export function useExport(): Exporting {
  const client = useClient();
  const [job, setJob] = useState<string | null>(null);
  const [progress, setProgress] = useState<ExportProgress | null>(null);
  const [error, setError] = useState<ContractError | null>(null);
  const running = job !== null && (progress === null || progress.state === 'running');
  const latest = useRef(job);
  latest.current = job;

  useEffect(() => {
    if (!job || !running) return;
    const timer = setInterval(() => {
      void client.call('exports.progress', { job }).then((answer) => {
        if (latest.current !== job) return;
        if (answer.ok) setProgress(answer.value);
        else setError(answer.error);
      });
    }, EVERY);
    return () => clearInterval(timer);
  }, [client, job, running]);

  const start = useCallback<Exporting['start']>(
    async (ask) => {
      setError(null);
      setProgress(null);
      const answer = await ask(client);
      if (answer.ok) setJob(answer.value.job);
      else setError(answer.error);
    },
    [client],
  );

  const cancel = useCallback(() => {
    if (latest.current) void client.call('exports.cancel', { job: latest.current });
  }, [client]);

  const saveOne = useCallback(
    async (handle: string) => {
      const answer = await client.call('exports.read', { handle });
      if (answer.ok) download(toBlob(answer.value), answer.value.name);
      else setError(answer.error);
    },
    [client],
  );

  const saveAll = useCallback(async () => {
    if (!latest.current) return;
    const answer = await client.call('exports.saveAll', { job: latest.current });
    if (!answer.ok) {
      if (answer.error.code !== 'export/dismissed') setError(answer.error);
      return;
    }
    if (answer.value.handle) await saveOne(answer.value.handle);
    else
      say(
        `${count(answer.value.files, 'file')} written to ${answer.value.folder ?? 'the folder'}.`,
      );
  }, [client, saveOne]);

  return { progress, error, running, start, cancel, saveOne, saveAll };
}
