import { useState } from 'react';
import type { CheckReport, ContractError } from '../../shared-core/contract/index.ts';
import { ErrorNotice, Waiting } from '../common/notice.tsx';
import { say } from '../common/said.tsx';
import { useClient } from '../common/shell-context.ts';
import { useAnswer } from '../common/use-answer.ts';
import { dayAndTime, size } from '../common/words.ts';
import { CREDITS } from './credits.ts';

/** What this is, on what it stands, and the care of the library. */
export function AboutScreen() {
  const [info] = useAnswer('app.info', {});
  return (
    <div className="page">
      <div className="page-inner about">
        <h1>Changewright</h1>
        {info.state === 'answered' && (
          <p className="quiet figures">
            Version {info.value.version}. Library file: {info.value.libraryName}
          </p>
        )}
        <LibraryCare />
        <section>
          <h2>Tunes you do not own</h2>
          <p>
            Changes and melodies may belong to someone. Keep charts of other people’s tunes to
            yourself and your band unless you have leave to hand them on.
          </p>
        </section>
        <section>
          <h2>Credits</h2>
          <table className="credits">
            <thead>
              <tr>
                <th scope="col">What</th>
                <th scope="col">By</th>
                <th scope="col">Licence</th>
              </tr>
            </thead>
            <tbody>
              {CREDITS.map((credit) => (
                <tr key={credit.what}>
                  <th scope="row">{credit.what}</th>
                  <td>{credit.by}</td>
                  <td>{credit.licence}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      </div>
    </div>
  );
}

function LibraryCare() {
  const client = useClient();
  const [report, setReport] = useState<CheckReport | null>(null);
  const [error, setError] = useState<ContractError | null>(null);
  const [checking, setChecking] = useState(false);
  const check = async () => {
    setChecking(true);
    const answer = await client.call('library.check', {});
    setChecking(false);
    if (answer.ok) setReport(answer.value);
    else setError(answer.error);
  };
  const backup = async () => {
    const answer = await client.call('library.backup', {});
    if (answer.ok) {
      const { name, bytes, at } = answer.value;
      say(`Backed up as ${name}, ${size(bytes)}, ${dayAndTime(at)}.`);
    } else setError(answer.error);
  };
  return (
    <section>
      <h2>The library</h2>
      <div className="page-actions">
        <button type="button" className="button-ruled" onClick={() => void check()}>
          Check it
        </button>
        <button type="button" className="button-ruled" onClick={() => void backup()}>
          Back it up
        </button>
      </div>
      {error && <ErrorNotice error={error} />}
      {checking && <Waiting what="Checking" />}
      {report && (
        <ul className="findings" role="status">
          {report.findings.map((finding) => (
            <li
              key={`${finding.subject} ${finding.message}`}
              className={`finding-${finding.level}`}
            >
              {finding.message}
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
