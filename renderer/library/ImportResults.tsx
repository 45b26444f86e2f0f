import { routeHash } from '../app/route.ts';
import { ErrorNotice, Waiting } from '../common/notice.tsx';
import { count } from '../common/words.ts';
import type { Importing } from './use-import.ts';

/** What came of each file that was brought in. */
export function ImportResults({ importing }: { readonly importing: Importing }) {
  const { busy, results, error, dismiss } = importing;
  if (busy > 0) return <Waiting what={`Reading ${count(busy, 'file')}`} />;
  if (error) return <ErrorNotice error={error} onAgain={dismiss} />;
  if (!results) return null;
  return (
    <section className="import-results" aria-label="Files brought in" role="status">
      <div className="import-head">
        <h2>
          {count(results.imported.length, 'tune')} brought in
          {results.failed.length > 0 && `, ${count(results.failed.length, 'file')} not`}
        </h2>
        <button type="button" onClick={dismiss}>
          Put this list away
        </button>
      </div>
      <ul>
        {results.imported.map((tune) => (
          <li key={tune.id}>
            <a href={routeHash({ screen: 'tune', tune: tune.id })}>{tune.title}</a>
            <span className="quiet small"> from {tune.file}</span>
            {tune.warnings.map((warning) => (
              <p key={warning} className="quiet small">
                {warning}
              </p>
            ))}
          </li>
        ))}
        {results.failed.map((failed) => (
          <li key={failed.file} className="import-failed">
            <b>{failed.file}</b>
            <p className="small">{failed.error.message}</p>
          </li>
        ))}
      </ul>
    </section>
  );
}
