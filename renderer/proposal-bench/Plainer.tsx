import { useMemo, useState } from 'react';
import { type OpenArrangement, useLadder } from '../chorus-ladder/ladder-store.ts';
import { barsWords, type Segment } from '../chorus-ladder/ruler.ts';
import { deviceLabel } from '../common/devices.ts';
import { newId } from '../common/ids.ts';
import { useClient } from '../common/shell-context.ts';
import { ChangesLine } from './ChangesLine.tsx';
import {
  type Plainer as PlainerChanges,
  plainerIn,
  plainerPlacement,
  standsClear,
} from './plainer-changes.ts';

/**
 * What the tune itself has already been dressed with at this place, in the trade's words, with the plainer
 * changes to put there in one chorus. On the written row the chorus is chosen here.
 */
export function Plainer({
  arrangement,
  segment,
  chorus,
}: {
  readonly arrangement: OpenArrangement;
  readonly segment: Segment | null;
  /** Null on the written row. */
  readonly chorus: string | null;
}) {
  const [picked, setPicked] = useState('');
  const { analysis } = arrangement.open;
  const found = useMemo(() => plainerIn(analysis, segment), [analysis, segment]);
  if (found.length === 0) return null;
  const choruses = arrangement.choruses;
  const target = chorus ?? (choruses.find((plan) => plan.id === picked) ?? choruses[0])?.id;
  if (!target) return null;
  return (
    <section className="plainer" aria-label="Plainer changes">
      <h3>Dressed up already, as written</h3>
      {chorus === null && (
        <label className="plainer-where">
          <span className="field-label">Make it plainer in</span>
          <select value={target} onChange={(event) => setPicked(event.target.value)}>
            {choruses.map((plan) => (
              <option key={plan.id} value={plan.id}>
                Chorus {plan.order + 1}
                {plan.label ? `, ${plan.label}` : ''}
              </option>
            ))}
          </select>
        </label>
      )}
      <ul>
        {found.map((one) => (
          <PlainerRow key={one.start} arrangement={arrangement} chorus={target} plainer={one} />
        ))}
      </ul>
    </section>
  );
}

function PlainerRow({
  arrangement,
  chorus,
  plainer,
}: {
  readonly arrangement: OpenArrangement;
  readonly chorus: string;
  readonly plainer: PlainerChanges;
}) {
  const client = useClient();
  const decide = useLadder((store) => store.decide);
  const form = arrangement.open.analysis.chorus;
  const where = barsWords(form, plainer.start, plainer.length);
  const clear = standsClear(arrangement.held.state, chorus, plainer);
  const write = () =>
    void decide(client, {
      kind: 'edit',
      placement: plainerPlacement(plainer, chorus, newId('h')),
    });
  return (
    <li>
      <span>
        <b>{deviceLabel(plainer.device)}</b> <span className="quiet small">{where}</span>
      </span>
      <ChangesLine changes={plainer.written} chorus={form} start={plainer.start} size={17} />
      <span className="quiet small">plainer:</span>
      <ChangesLine changes={plainer.changes} chorus={form} start={plainer.start} size={17} />
      {clear ? (
        <button
          type="button"
          className="button-ruled"
          aria-label={`Plainer here: ${deviceLabel(plainer.device)}, ${where}`}
          onClick={write}
        >
          Plainer here
        </button>
      ) : (
        <span className="quiet small">Other changes stand there in this chorus.</span>
      )}
    </li>
  );
}
