import { useEffect, useRef } from 'react';
import { ErrorNotice } from '../common/notice.tsx';
import { count, size } from '../common/words.ts';
import type { Exporting } from './use-export.ts';

/** How far an export is, and its files when it is done. */
export function ExportProgressView({ exporting }: { readonly exporting: Exporting }) {
  const { progress, error, running, cancel, saveAll, saveOne } = exporting;
  // The button that was pressed went away: the one that comes in its place has the keyboard.
  const next = useRef<HTMLButtonElement>(null);
  const stage = running ? 'running' : progress?.state;
  useEffect(() => {
    if (stage !== undefined) next.current?.focus();
  }, [stage]);
  return (
    <div className="stack">
      {error && <ErrorNotice error={error} />}
      {progress?.error && <ErrorNotice error={progress.error} />}
      {(running || progress) && progress?.state !== 'done' && (
        <div className="export-progress">
          <p role="status">
            {progress?.state === 'cancelled'
              ? 'Stopped. Nothing was handed out.'
              : (progress?.step ?? 'Starting')}
          </p>
          <progress
            max={Math.max(1, progress?.total ?? 1)}
            value={progress?.done ?? 0}
            aria-label="Export"
          />
          {running && (
            <button ref={next} type="button" className="button-ruled" onClick={cancel}>
              Stop
            </button>
          )}
        </div>
      )}
      {progress?.state === 'done' && (
        <>
          <p role="status">{count(progress.files.length, 'file')} ready.</p>
          <button ref={next} type="button" className="button-main" onClick={() => void saveAll()}>
            Save all of them
          </button>
          <ul className="export-files">
            {progress.files.map((file) => (
              <li key={file.handle}>
                <button type="button" onClick={() => void saveOne(file.handle)}>
                  <span>{file.name}</span>
                  <span className="quiet small figures">{size(file.bytes)}</span>
                </button>
              </li>
            ))}
          </ul>
        </>
      )}
    </div>
  );
}
