import { useEffect, useState } from 'react';
import { DEGREE_WORDS, deviceLabel } from '../common/devices.ts';
import { Dialog } from '../common/dialog.tsx';
import { ErrorNotice, Nothing, Waiting } from '../common/notice.tsx';
import { useClient } from '../common/shell-context.ts';
import { useTaste } from './taste-store.ts';

/** What the leader's decisions have taught the program, and the way to have it forgotten. */
export function TasteScreen() {
  const client = useClient();
  const { rows, taste, error, load, reset } = useTaste();
  const [asking, setAsking] = useState(false);
  useEffect(() => void load(client), [client, load]);
  const known = (rows ?? []).filter((row) => row.accepted + row.rejected > 0);
  return (
    <div className="page">
      <div className="page-inner">
        <div className="page-head">
          <h1>Taste</h1>
          <button
            type="button"
            className="button-ruled"
            disabled={known.length === 0}
            onClick={() => setAsking(true)}
          >
            Forget it all
          </button>
        </div>
        {error && <ErrorNotice error={error} onAgain={() => void load(client)} />}
        {!rows && !error && <Waiting what="Looking through your decisions" />}
        {rows && known.length === 0 && (
          <Nothing>
            <p>
              Nothing to go by yet. Each proposal you keep or lay aside moves its kind a little up
              or down the list; none is ever hidden.
            </p>
          </Nothing>
        )}
        {known.length > 0 && (
          <>
            <p className="quiet taste-words">
              What you keep rises in the list of proposals, what you lay aside sinks. Nothing is
              hidden.
            </p>
            <table className="taste">
              <thead>
                <tr>
                  <th scope="col">Device</th>
                  <th scope="col">Kept</th>
                  <th scope="col">Laid aside</th>
                  <th scope="col">How it leans</th>
                </tr>
              </thead>
              <tbody>
                {known.map((row) => {
                  const liking = taste?.weightOf(row.device, row.degree) ?? 0.5;
                  return (
                    <tr key={`${row.device} ${row.degree}`}>
                      <th scope="row">
                        {deviceLabel(row.device)}{' '}
                        <span className="quiet">{DEGREE_WORDS[row.degree]}</span>
                      </th>
                      <td className="figures">{row.accepted}</td>
                      <td className="figures">{row.rejected}</td>
                      <td>
                        <meter min={0} max={1} value={liking}>
                          {Math.round(liking * 100)} of 100
                        </meter>
                      </td>
                    </tr>
                  );
                })}
              </tbody>
            </table>
          </>
        )}
        {asking && (
          <Dialog title="Forget your taste" onClose={() => setAsking(false)}>
            <p>
              The counts go back to nothing and proposals stand in their neutral order again. Your
              arrangements stay as they are.
            </p>
            <div className="dialog-foot">
              <button type="button" onClick={() => setAsking(false)}>
                Leave it
              </button>
              <button
                type="button"
                className="button-main"
                onClick={() => void reset(client).then(() => setAsking(false))}
              >
                Forget it all
              </button>
            </div>
          </Dialog>
        )}
      </div>
    </div>
  );
}
